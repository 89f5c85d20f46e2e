/** Places of one group's figures in the array. */
const width = 7
const [minutesAt, centreAt, squaresAt, stepsAt, firstAt, lastAt, withinAt] = [0, 1, 2, 3, 4, 5, 6] as const

/** How the minutes of a stretch differ; all in the unit of the group's first lane. */
export interface MinuteFigures {
  /** Minutes with a counted reading. */
  readonly minutes: number
  /** Standard deviation of the readings about the mean of their minute, n − 1; NaN where no minute has two. */
  readonly within: number
  /** Readings beyond the first of each minute: degrees of freedom of `within`. */
  readonly withinFreedom: number
  /** Standard deviation of the minutes' means; NaN for fewer than two. */
  readonly between: number
  /** Of neighbouring minutes, 0…1; 1 where fewer than three minutes tell nothing. */
  readonly autocorrelation: number
  /** Mean of the last minute less that of the first; NaN for fewer than two. */
  readonly change: number
}

/** Of each group: how many readings, their mean, and the sum of squared deviations from it. */
interface Readings {
  readonly count: Float64Array
  readonly centre: Float64Array
  readonly squares: Float64Array
}

/**
 * What the mean of a stretch cannot tell of itself: how much its readings scatter within a minute, and how its minutes
 * follow each other. Kept beside the integrals of an `Accumulator`; work arises once a minute, never for a reading.
 *
 * Merged in the order of time. Variances after Chan, Golub, LeVeque (1979), eq. 2.1.
 */
export class Variation {
  private readonly figures: Float64Array

  constructor(groups: number) {
    this.figures = new Float64Array(groups * width)
  }

  reset(): void {
    this.figures.fill(0)
  }

  /** Becomes what it would be after `reset` and `merge` of all groups of the other. `readings`: of its groups, where it is itself a minute. */
  takeOver(other: Variation, readings: Readings): void {
    const { figures } = this
    figures.set(other.figures)
    for (let group = 0, at = 0; at < figures.length; group++, at += width) {
      if (figures[at + minutesAt] !== 0 || readings.count[group] === 0) continue
      const centre = readings.centre[group] as number
      figures[at + minutesAt] = 1
      figures[at + centreAt] = centre
      figures[at + firstAt] = centre
      figures[at + lastAt] = centre
      figures[at + withinAt] = readings.squares[group] as number
    }
  }

  /** Adds a later stretch of a group. One that holds readings and no minute yet is itself a minute: `readings` are its own. */
  merge(other: Variation, group: number, readings: Readings): void {
    const at = group * width
    const centre = readings.centre[group] as number
    const squares = readings.squares[group] as number
    const { figures: own } = this
    const { figures: its } = other
    const isMinute = its[at + minutesAt] === 0
    const added = isMinute ? 1 : (its[at + minutesAt] as number)
    const addedCentre = isMinute ? centre : (its[at + centreAt] as number)
    const addedFirst = isMinute ? centre : (its[at + firstAt] as number)
    const before = own[at + minutesAt] as number
    own[at + withinAt] = (own[at + withinAt] as number) + (isMinute ? squares : (its[at + withinAt] as number))
    if (before === 0) {
      own[at + centreAt] = addedCentre
      own[at + firstAt] = addedFirst
    } else {
      const delta = addedCentre - (own[at + centreAt] as number)
      const step = addedFirst - (own[at + lastAt] as number)
      own[at + centreAt] = (own[at + centreAt] as number) + (delta * added) / (before + added)
      own[at + squaresAt] = (own[at + squaresAt] as number) + (delta * delta * before * added) / (before + added)
      own[at + stepsAt] = (own[at + stepsAt] as number) + step * step
    }
    if (!isMinute) {
      own[at + squaresAt] = (own[at + squaresAt] as number) + (its[at + squaresAt] as number)
      own[at + stepsAt] = (own[at + stepsAt] as number) + (its[at + stepsAt] as number)
    }
    own[at + lastAt] = isMinute ? centre : (its[at + lastAt] as number)
    own[at + minutesAt] = before + added
  }

  /**
   * Figures of a group. `count`: its readings; `squares`: their sum of squared deviations, for a stretch that is one minute.
   *
   * The autocorrelation is 1 − Σ(step²) / (2 Σ(deviation²)), the ratio of successive differences (von Neumann 1941), kept
   * within 0…1: minutes that swing from side to side are taken as independent, which errs to the safe side.
   */
  of(group: number, count: number, squares: number): MinuteFigures {
    const at = group * width
    const { figures } = this
    const isMinute = figures[at + minutesAt] === 0
    const minutes = isMinute ? Math.min(1, count) : (figures[at + minutesAt] as number)
    const withinFreedom = count - minutes
    const between = figures[at + squaresAt] as number
    const steps = figures[at + stepsAt] as number
    const ratio = between > 0 ? 1 - (steps / (2 * between)) * (minutes / Math.max(1, minutes - 1)) : 0
    return {
      minutes,
      within:
        withinFreedom > 0
          ? Math.sqrt((isMinute ? squares : (figures[at + withinAt] as number)) / withinFreedom)
          : Number.NaN,
      withinFreedom,
      between: minutes > 1 ? Math.sqrt(between / (minutes - 1)) : Number.NaN,
      autocorrelation: minutes > 2 ? Math.min(1, Math.max(0, ratio)) : 1,
      change: minutes > 1 ? (figures[at + lastAt] as number) - (figures[at + firstAt] as number) : Number.NaN,
    }
  }
}
