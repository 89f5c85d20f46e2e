/** x of a reading, corrected so far, at u = d · (t − start of the minute); d: its dilution. */
interface Point {
  readonly x: number
  readonly u: number
}

/** Readings of one dilution, in order of time: those that a straight line in time can still make the lowest, or the highest. */
interface Stretch {
  readonly d: number
  readonly lower: Point[]
  readonly upper: Point[]
}

/**
 * The lowest and the highest of a minute's readings, also after x − a · d − b · u took the place of each x, whatever a and b
 * will be. Of readings of one dilution only the corners of their convex hull can become that (monotone chain, Andrew 1979, from
 * memory): a few of sixty. Amortised O(1) work per reading.
 */
export class Extremes {
  /** Of readings that have been corrected: no other zero reaches them any more. */
  private lowest = Number.POSITIVE_INFINITY
  private highest = Number.NEGATIVE_INFINITY
  private stretches: Stretch[] = []

  add(x: number, d: number, u: number): void {
    let stretch = this.stretches.at(-1)
    if (stretch?.d !== d) {
      stretch = { d, lower: [], upper: [] }
      this.stretches.push(stretch)
    }
    const point = { x, u }
    push(stretch.lower, point, 1)
    push(stretch.upper, point, -1)
  }

  /** x − a · d − b · u takes the place of x in all readings so far. */
  correct(a: number, b: number): void {
    this.lowest = this.lowestWith(a, b)
    this.highest = this.highestWith(a, b)
    this.stretches = []
  }

  get minimum(): number {
    return this.lowestWith(0, 0)
  }

  get maximum(): number {
    return this.highestWith(0, 0)
  }

  private lowestWith(a: number, b: number): number {
    let lowest = this.lowest
    for (const { d, lower } of this.stretches)
      for (const { x, u } of lower) lowest = Math.min(lowest, x - (a * d + b * u))
    return lowest
  }

  private highestWith(a: number, b: number): number {
    let highest = this.highest
    for (const { d, upper } of this.stretches)
      for (const { x, u } of upper) highest = Math.max(highest, x - (a * d + b * u))
    return highest
  }
}

/** Adds a point that comes later to a chain whose corners all turn to one side; those that no longer do are dropped. */
function push(chain: Point[], point: Point, side: 1 | -1): void {
  for (let last = chain.length - 1; last > 0; last--) {
    const middle = chain[last] as Point
    const first = chain[last - 1] as Point
    const turn = (middle.u - first.u) * (point.x - first.x) - (middle.x - first.x) * (point.u - first.u)
    if (side * turn > 0) break
    chain.pop()
  }
  chain.push(point)
}
