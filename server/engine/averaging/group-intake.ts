import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { ConversionPlan, ConvertedValue } from '../conversions/conversion-plan.ts'
import type { AverageSet } from './average-set.ts'
import type { Group } from './average-values.ts'

const from = { raw: 0, corrected: 1, converted: 2 } as const

interface Conversion {
  readonly value: ConvertedValue
  /** Filled for each reading. */
  readonly inputs: Float64Array
}

/** Takes readings into the groups of a set. The groups lie here in flat arrays, since each reading goes through all of them. */
export class GroupIntake {
  private readonly groups: number
  /** `needs[needStart[g]]`…: the channels of group g that must all count. */
  private readonly needStart: Int32Array
  private readonly needs: Int32Array
  private readonly laneStart: Int32Array
  private readonly source: Uint8Array
  private readonly channel: Int32Array
  private readonly conversions: readonly (Conversion | null)[]

  constructor(groups: readonly Group[], plan: ConversionPlan) {
    this.groups = groups.length
    this.needStart = starts(groups.map(({ needs }) => needs.length))
    this.needs = Int32Array.from(groups.flatMap(({ needs }) => needs))
    this.laneStart = starts(groups.map(({ lanes }) => lanes.length))
    const lanes = groups.flatMap((group) => group.lanes)
    this.source = Uint8Array.from(lanes, (lane) => from[lane.from])
    this.channel = Int32Array.from(lanes, (lane) => lane.channel)
    this.conversions = lanes.map((lane) => {
      const value = lane.from === 'converted' ? plan.values[lane.value] : undefined
      return value ? { value, inputs: new Float64Array(value.inputs.length) } : null
    })
  }

  /**
   * One reading that represents [at, until), cut at the edges of minutes. It is a point of the minute that holds `at`, also
   * where it represents no time, since the next one follows at once. By the station's channel index: `raw`, `corrected`, `flags`.
   */
  take(
    set: AverageSet,
    at: number,
    until: number,
    raw: Float64Array,
    corrected: Float64Array,
    flags: Uint8Array,
  ): void {
    let start = at
    do {
      const minute = set.at(start)
      const end = Math.min(until, set.openMinuteEndMs)
      const ms = end - start
      const { weightMs, integral } = minute
      for (let group = 0; group < this.groups; group++) {
        if (!this.counts(group, flags)) continue
        const lane = this.laneStart[group] as number
        const first = this.value(lane, raw, corrected)
        if (Number.isNaN(first)) continue
        weightMs[group] = (weightMs[group] as number) + end - start
        integral[lane] = (integral[lane] as number) + first * ms
        for (let next = lane + 1; next < (this.laneStart[group + 1] as number); next++)
          integral[next] = (integral[next] as number) + this.value(next, raw, corrected) * ms
        if (start === at) minute.addPoint(group, first, at)
      }
      start = end
    } while (start < until)
  }

  private counts(group: number, flags: Uint8Array): boolean {
    const { needs, needStart } = this
    for (let next = needStart[group] as number; next < (needStart[group + 1] as number); next++)
      if (flags[needs[next] as number] !== countFlag.counts) return false
    return true
  }

  private value(lane: number, raw: Float64Array, corrected: Float64Array): number {
    const source = this.source[lane]
    if (source === from.converted) return this.converted(this.conversions[lane] as Conversion, corrected)
    return (source === from.raw ? raw : corrected)[this.channel[lane] as number] as number
  }

  private converted({ value, inputs }: Conversion, corrected: Float64Array): number {
    for (let place = 0; place < inputs.length; place++)
      inputs[place] = corrected[value.inputs[place] as number] as number
    return value.convert(inputs)
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
