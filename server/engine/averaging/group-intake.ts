import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { ConversionPlan, ConvertedValue } from '../conversions/conversion-plan.ts'
import type { Tracer } from '../tracing/tracer.ts'
import type { Accumulator } from './accumulator.ts'
import type { AverageSet } from './average-set.ts'
import type { Group } from './average-values.ts'

/** Of this module's own: what belongs to another one is looked up anew each time, here for each reading. */
const { counts } = countFlag

interface Conversion {
  readonly value: ConvertedValue
  /** Filled for each reading. */
  readonly inputs: Float64Array
}

/**
 * Takes readings into the groups of a set. Each reading goes through all of them, so they lie here in flat arrays: the
 * values of a reading in one row (as read, corrected, converted), each lane a place in it.
 */
export class GroupIntake {
  /** The reading to be taken next, as read and corrected, by the station's channel index: views of one row. */
  readonly raw: Float64Array
  readonly corrected: Float64Array
  private readonly row: Float64Array
  private readonly firstConverted: number
  private readonly conversions: readonly Conversion[]
  private readonly groups: number
  /** `needs[needStart[g]]`…: the channels of group g that must all count. */
  private readonly needStart: Int32Array
  private readonly needs: Int32Array
  /** `lanes[laneStart[g]]`…: the places of group g's values in the row. */
  private readonly laneStart: Int32Array
  private readonly lanes: Int32Array
  private readonly followed: readonly Group[]
  private readonly trace: Tracer | null

  /** `channels`: how many the station has. `trace`: follows what enters. */
  constructor(groups: readonly Group[], plan: ConversionPlan, channels: number, trace: Tracer | null) {
    const conversions: Conversion[] = []
    const placeOf = (lane: Group['lanes'][number]): number => {
      if (lane.from !== 'converted') return (lane.from === 'raw' ? 0 : channels) + lane.channel
      const value = plan.values[lane.value] as ConvertedValue
      conversions.push({ value, inputs: new Float64Array(value.inputs.length) })
      return 2 * channels + conversions.length - 1
    }
    this.groups = groups.length
    this.followed = groups
    this.trace = trace
    this.needStart = starts(groups.map(({ needs }) => needs.length))
    this.needs = Int32Array.from(groups.flatMap(({ needs }) => needs))
    this.laneStart = starts(groups.map(({ lanes }) => lanes.length))
    this.lanes = Int32Array.from(groups.flatMap(({ lanes }) => lanes.map(placeOf)))
    this.conversions = conversions
    this.firstConverted = 2 * channels
    this.row = new Float64Array(2 * channels + conversions.length)
    this.raw = this.row.subarray(0, channels)
    this.corrected = this.row.subarray(channels, 2 * channels)
  }

  /**
   * The reading in `raw` and `corrected`, which represents [at, until), cut at the edges of minutes. It is a point of the
   * minute that holds `at`, also where it represents no time, since the next one follows at once. `flags`: by channel index.
   */
  take(set: AverageSet, at: number, until: number, flags: Uint8Array): void {
    if (this.conversions.length > 0) this.convert()
    const allCount = this.allCount(flags)
    let start = at
    do {
      const minute = set.at(start)
      const end = Math.min(until, set.openMinuteEndMs)
      this.add(minute, start, end, allCount ? null : flags, start === at)
      if (this.trace !== null) this.follow(this.trace, start, end, flags)
      start = end
    } while (start < until)
  }

  /** `flags`: null where every channel counts, which is the rule; no group then needs to look. */
  private add(minute: Accumulator, start: number, end: number, flags: Uint8Array | null, isPoint: boolean): void {
    const { row, lanes, laneStart, groups } = this
    const { weightMs, integral } = minute
    const ms = end - start
    for (let group = 0; group < groups; group++) {
      if (flags !== null && !this.counts(group, flags)) continue
      const lane = laneStart[group] as number
      const first = row[lanes[lane] as number] as number
      if (Number.isNaN(first)) {
        minute.leftOut[group] = 1
        continue
      }
      weightMs[group] = (weightMs[group] as number) + end - start
      integral[lane] = (integral[lane] as number) + first * ms
      const behind = laneStart[group + 1] as number
      for (let next = lane + 1; next < behind; next++)
        integral[next] = (integral[next] as number) + (row[lanes[next] as number] as number) * ms
      if (isPoint) minute.addPoint(group, first, start)
    }
  }

  /** Tells the tracer what has entered. */
  private follow(trace: Tracer, start: number, end: number, flags: Uint8Array): void {
    for (let group = 0; group < this.groups; group++) {
      const followed = this.followed[group] as Group
      if (!trace.follows(followed) || !this.counts(group, flags)) continue
      const lanes = this.lanes.subarray(this.laneStart[group], this.laneStart[group + 1])
      const values = Array.from(lanes, (place) => this.row[place] as number)
      if (!Number.isNaN(values[0])) trace.entered(followed, start, end, values)
    }
  }

  private allCount(flags: Uint8Array): boolean {
    const { needs } = this
    for (let next = 0; next < needs.length; next++) if (flags[needs[next] as number] !== counts) return false
    return true
  }

  private counts(group: number, flags: Uint8Array): boolean {
    const { needs, needStart } = this
    const behind = needStart[group + 1] as number
    for (let next = needStart[group] as number; next < behind; next++)
      if (flags[needs[next] as number] !== counts) return false
    return true
  }

  private convert(): void {
    for (let number = 0; number < this.conversions.length; number++) {
      const { value, inputs } = this.conversions[number] as Conversion
      for (let place = 0; place < inputs.length; place++)
        inputs[place] = this.corrected[value.inputs[place] as number] as number
      this.row[this.firstConverted + number] = value.convert(inputs)
    }
  }
}

/** Lengths → where each part begins, and the end. */
function starts(lengths: readonly number[]): Int32Array {
  const places = new Int32Array(lengths.length + 1)
  lengths.forEach((length, index) => {
    places[index + 1] = (places[index] as number) + length
  })
  return places
}
