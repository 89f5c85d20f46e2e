import { Variation } from '../uncertainty/variation.ts'

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
  /** How the minutes of the stretch differ. */
  readonly variation: Variation
  /** Time in plant state running, and the quarters of an hour with such time. */
  runningMs = 0
  operatedQuadrants = 0
  /** Whether quality-assurance work took place. */
  qualityAssurance = false
  /** Remarks that a row repeats, one bit each; see `remark`. */
  remarks = 0

  readonly laneStart: Int32Array

  /** `laneStart[g]`…`laneStart[g + 1]` are the lanes of group g. */
  constructor(laneStart: Int32Array) {
    const groups = laneStart.length - 1
    this.laneStart = laneStart
    this.weightMs = new Float64Array(groups)
    this.integral = new Float64Array(laneStart[groups] ?? 0)
    this.count = new Float64Array(groups)
    this.centre = new Float64Array(groups)
    this.squares = new Float64Array(groups)
    this.minimum = new Float64Array(groups).fill(Number.POSITIVE_INFINITY)
    this.maximum = new Float64Array(groups).fill(Number.NEGATIVE_INFINITY)
    this.firstMs = new Float64Array(groups).fill(Number.POSITIVE_INFINITY)
    this.lastMs = new Float64Array(groups).fill(Number.NEGATIVE_INFINITY)
    this.quadrants = new Uint8Array(groups)
    this.variation = new Variation(groups)
  }

  reset(): void {
    this.weightMs.fill(0)
    this.integral.fill(0)
    this.count.fill(0)
    this.centre.fill(0)
    this.squares.fill(0)
    this.minimum.fill(Number.POSITIVE_INFINITY)
    this.maximum.fill(Number.NEGATIVE_INFINITY)
    this.firstMs.fill(Number.POSITIVE_INFINITY)
    this.lastMs.fill(Number.NEGATIVE_INFINITY)
    this.quadrants.fill(0)
    this.variation.reset()
    this.runningMs = 0
    this.operatedQuadrants = 0
    this.qualityAssurance = false
    this.remarks = 0
  }

  /** Takes a reading into the unweighted statistics of a group. `value`: its first lane. */
  addPoint(group: number, value: number, atMs: number): void {
    const count = (this.count[group] as number) + 1
    const delta = value - (this.centre[group] as number)
    const centre = (this.centre[group] as number) + delta / count
    this.count[group] = count
    this.centre[group] = centre
    this.squares[group] = (this.squares[group] as number) + delta * (value - centre)
    if (value < (this.minimum[group] as number)) this.minimum[group] = value
    if (value > (this.maximum[group] as number)) this.maximum[group] = value
    if (atMs < (this.firstMs[group] as number)) this.firstMs[group] = atMs
    if (atMs > (this.lastMs[group] as number)) this.lastMs[group] = atMs
  }

  /**
   * Adds another stretch, a later one. `quadrantBit`: the quarter of the hour in which the other lies, or 0 where quarters have no
   * meaning. Variances are merged after Chan, Golub, LeVeque (1979), eq. 2.1.
   */
  merge(other: Accumulator, quadrantBit: number): void {
    const groups = this.count.length
    for (let group = 0; group < groups; group++) {
      const added = other.count[group] as number
      this.weightMs[group] = (this.weightMs[group] as number) + (other.weightMs[group] as number)
      if (added === 0) continue
      this.variation.merge(other.variation, group, other.centre[group] as number, other.squares[group] as number)
      const before = this.count[group] as number
      const total = before + added
      const delta = (other.centre[group] as number) - (this.centre[group] as number)
      this.centre[group] =
        before === 0 ? (other.centre[group] as number) : (this.centre[group] as number) + (delta * added) / total
      this.squares[group] =
        (this.squares[group] as number) + (other.squares[group] as number) + (delta * delta * before * added) / total
      this.count[group] = total
      this.minimum[group] = Math.min(this.minimum[group] as number, other.minimum[group] as number)
      this.maximum[group] = Math.max(this.maximum[group] as number, other.maximum[group] as number)
      this.firstMs[group] = Math.min(this.firstMs[group] as number, other.firstMs[group] as number)
      this.lastMs[group] = Math.max(this.lastMs[group] as number, other.lastMs[group] as number)
      this.quadrants[group] = (this.quadrants[group] as number) | other.quadrants[group]! | quadrantBit
    }
    for (let lane = 0; lane < this.integral.length; lane++)
      this.integral[lane] = (this.integral[lane] as number) + (other.integral[lane] as number)
    this.runningMs += other.runningMs
    this.operatedQuadrants |= other.operatedQuadrants
    if (other.runningMs > 0) this.operatedQuadrants |= quadrantBit
    this.qualityAssurance ||= other.qualityAssurance
    this.remarks |= other.remarks
  }

  copy(): Accumulator {
    const twin = new Accumulator(this.laneStart)
    twin.merge(this, 0)
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
