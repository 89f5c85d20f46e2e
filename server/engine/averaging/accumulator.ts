import { Variation } from '../uncertainty/variation.ts'

/** Figures of a group that are doubles: `weightMs` … `lastMs`. */
const columns = 8

/**
 * Running integrals of a set of groups over one stretch of time (a minute, a block, a window).
 *
 * A group is a set of lanes (values) that only count together: one channel alone, or a channel with the oxygen and the
 * moisture that it is converted with. Integrals are added up and merged, never subtracted from.
 * Times in ms, values in the lane's unit.
 */
export class Accumulator {
  /** Counted time of each group, ms. */
  readonly weightMs: Float64Array
  /** Sum of value × represented ms of each lane. */
  readonly integral: Float64Array
  /** Readings of each group whose time lies in the stretch. */
  readonly count: Float64Array
  /** Of the first lane of each group, unweighted: running mean and sum of squared deviations (Welford 1962). */
  readonly centre: Float64Array
  readonly squares: Float64Array
  readonly minimum: Float64Array
  readonly maximum: Float64Array
  /** Times of the first and last counted reading of each group, for the separation test of 40 CFR 60.13(h)(2)(iii). */
  readonly firstMs: Float64Array
  readonly lastMs: Float64Array
  /** One bit per quarter of an hour in which the group has a counted reading. */
  readonly quadrants: Uint8Array
  /** 1 where a reading of the group counts and could not be converted, as with oxygen near that of air: it is left out. */
  readonly leftOut: Uint8Array
  /** How the minutes of the stretch differ. */
  readonly variation: Variation
  /** Time in plant state running, and the quarters of an hour with such time. */
  runningMs = 0
  operatedQuadrants = 0
  /** Whether quality-assurance work took place. */
  qualityAssurance = false
  /** Remarks that a row repeats, one bit each; see `remark`. */
  remarks = 0
  /** Where lines tell by how much the sample is diluted: factor × represented ms, and these ms. */
  factorMs = 0
  factorToldMs = 0

  readonly laneStart: Int32Array
  /** All of the above, of which the arrays of doubles are parts: what is emptied or taken over whole is so in one go. */
  private readonly figures: Float64Array
  /** Where in it the lowest and first begin, and the highest and last. */
  private readonly fromLowest: number
  private readonly fromHighest: number

  /** `laneStart[g]`…`laneStart[g + 1]` are the lanes of group g. */
  constructor(laneStart: Int32Array) {
    const groups = laneStart.length - 1
    const lanes = laneStart[groups] ?? 0
    this.laneStart = laneStart
    const figures = new Float64Array(columns * groups + lanes)
    let used = 0
    const next = (length: number): Float64Array => {
      used += length
      return figures.subarray(used - length, used)
    }
    this.figures = figures
    this.integral = next(lanes)
    this.weightMs = next(groups)
    this.count = next(groups)
    this.centre = next(groups)
    this.squares = next(groups)
    this.minimum = next(groups)
    this.firstMs = next(groups)
    this.maximum = next(groups)
    this.lastMs = next(groups)
    this.fromLowest = used - 4 * groups
    this.fromHighest = used - 2 * groups
    this.quadrants = new Uint8Array(groups)
    this.leftOut = new Uint8Array(groups)
    this.variation = new Variation(groups)
    this.reset()
  }

  reset(): void {
    const { figures, fromLowest, fromHighest } = this
    figures.fill(0, 0, fromLowest)
    figures.fill(Number.POSITIVE_INFINITY, fromLowest, fromHighest)
    figures.fill(Number.NEGATIVE_INFINITY, fromHighest)
    this.quadrants.fill(0)
    this.leftOut.fill(0)
    this.variation.reset()
    this.runningMs = 0
    this.operatedQuadrants = 0
    this.qualityAssurance = false
    this.remarks = 0
    this.factorMs = 0
    this.factorToldMs = 0
  }

  /** Takes a reading into the unweighted statistics of a group. `value`: its first lane. */
  addPoint(group: number, value: number, atMs: number): void {
    const { count, centre, squares, minimum, maximum, firstMs, lastMs } = this
    const points = (count[group] as number) + 1
    const before = centre[group] as number
    const delta = value - before
    const after = before + delta / points
    count[group] = points
    centre[group] = after
    squares[group] = (squares[group] as number) + delta * (value - after)
    if (value < (minimum[group] as number)) minimum[group] = value
    if (value > (maximum[group] as number)) maximum[group] = value
    if (atMs < (firstMs[group] as number)) firstMs[group] = atMs
    if (atMs > (lastMs[group] as number)) lastMs[group] = atMs
  }

  /**
   * Adds another stretch, a later one. `quadrantBit`: the quarter of the hour in which the other lies, or 0 where quarters have no
   * meaning. Variances are merged after Chan, Golub, LeVeque (1979), eq. 2.1.
   */
  merge(other: Accumulator, quadrantBit: number): void {
    const { count, weightMs, integral, centre, squares, minimum, maximum, firstMs, lastMs, leftOut } = this
    for (let group = 0; group < count.length; group++) {
      const added = other.count[group] as number
      weightMs[group] = (weightMs[group] as number) + (other.weightMs[group] as number)
      leftOut[group] = (leftOut[group] as number) | (other.leftOut[group] as number)
      if (added === 0) continue
      this.variation.merge(other.variation, group, other)
      const before = count[group] as number
      const total = before + added
      const delta = (other.centre[group] as number) - (centre[group] as number)
      centre[group] =
        before === 0 ? (other.centre[group] as number) : (centre[group] as number) + (delta * added) / total
      squares[group] =
        (squares[group] as number) + (other.squares[group] as number) + (delta * delta * before * added) / total
      count[group] = total
      minimum[group] = Math.min(minimum[group] as number, other.minimum[group] as number)
      maximum[group] = Math.max(maximum[group] as number, other.maximum[group] as number)
      firstMs[group] = Math.min(firstMs[group] as number, other.firstMs[group] as number)
      lastMs[group] = Math.max(lastMs[group] as number, other.lastMs[group] as number)
      this.quadrants[group] = (this.quadrants[group] as number) | other.quadrants[group]! | quadrantBit
    }
    for (let lane = 0; lane < integral.length; lane++)
      integral[lane] = (integral[lane] as number) + (other.integral[lane] as number)
    this.runningMs += other.runningMs
    this.operatedQuadrants |= other.operatedQuadrants
    if (other.runningMs > 0) this.operatedQuadrants |= quadrantBit
    this.qualityAssurance ||= other.qualityAssurance
    this.remarks |= other.remarks
    this.addFactor(other.factorMs, other.factorToldMs)
  }

  addFactor(factorMs: number, toldMs: number): void {
    this.factorMs += factorMs
    this.factorToldMs += toldMs
  }

  /** Mean of the dilution factors that lines told; 1 where they tell none. */
  get dilution(): number {
    return this.factorToldMs > 0 ? this.factorMs / this.factorToldMs : 1
  }

  /** Becomes what it would be after `reset` and `merge` of the other, without adding up. */
  takeOver(other: Accumulator): void {
    this.figures.set(other.figures)
    this.quadrants.set(other.quadrants)
    this.leftOut.set(other.leftOut)
    for (let group = 0; group < this.count.length; group++) if (this.count[group] === 0) this.forgetPoints(group)
    this.variation.takeOver(other.variation, other)
    this.runningMs = other.runningMs
    this.operatedQuadrants = other.operatedQuadrants
    this.qualityAssurance = other.qualityAssurance
    this.remarks = other.remarks
    this.factorMs = other.factorMs
    this.factorToldMs = other.factorToldMs
  }

  private forgetPoints(group: number): void {
    this.centre[group] = 0
    this.squares[group] = 0
    this.minimum[group] = Number.POSITIVE_INFINITY
    this.firstMs[group] = Number.POSITIVE_INFINITY
    this.maximum[group] = Number.NEGATIVE_INFINITY
    this.lastMs[group] = Number.NEGATIVE_INFINITY
    this.quadrants[group] = 0
  }

  copy(): Accumulator {
    const twin = new Accumulator(this.laneStart)
    twin.takeOver(this)
    return twin
  }

  /** Time-weighted mean of a lane; NaN where its group has no counted time. */
  mean(group: number, lane: number): number {
    const weight = this.weightMs[group] as number
    return weight > 0 ? (this.integral[lane] as number) / weight : Number.NaN
  }

  /** Standard deviation of the readings, n − 1; null for fewer than two. */
  standardDeviation(group: number): number | null {
    const count = this.count[group] as number
    return count > 1 ? Math.sqrt((this.squares[group] as number) / (count - 1)) : null
  }
}

/** What may be said of a stretch, beside its numbers; bits of `Accumulator.remarks`. */
export const remark = { runStarted: 1, runEnded: 2, gap: 4, instrumentFault: 8, clockStep: 16, noZeroYet: 32 } as const
