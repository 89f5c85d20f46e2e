import type { Basis, ValueQuantity } from '../../../protocols/words/quantities.ts'
import type { Unit } from '../../../protocols/words/units.ts'
import type { ConversionPlan, ConvertedValue } from '../conversions/conversion-plan.ts'
import { isDiluted } from '../corrections/diluted.ts'
import type { StationFile } from '../settings/station-file.ts'

/** Which number of a reading a lane takes: as read, after the instrument's corrections, or converted reading by reading. */
export type Lane =
  | { readonly from: 'raw' | 'corrected'; readonly channel: number }
  | { readonly from: 'converted'; readonly value: number; readonly channel: number }

/** Lanes that only count together. `needs`: the channels that must all count. */
export interface Group {
  readonly stream: string | null // null: across streams, from minute means
  readonly lanes: readonly Lane[]
  readonly needs: readonly number[]
}

/** Whether a group is that of one channel by itself, as read or corrected. The corrected one stands behind the other in a plan. */
export const isOfOneChannel = ({ lanes, needs }: Group): boolean =>
  lanes.length === 1 && needs.length === 1 && lanes[0]?.from !== 'converted' && lanes[0]?.channel === needs[0]

/** A value that is averaged and exported: a row of blocks.csv for each block. */
export interface AveragedValue {
  readonly channel: number
  readonly quantity: ValueQuantity
  readonly unit: Unit
  readonly basis: Basis | null
  readonly referenceOxygen: number | null
  readonly conditions: string | null
  readonly group: number
  /** null: the mean is that of the group's first lane. Otherwise the group's lane means are converted. */
  readonly convert: ConvertedValue | null
  /** Of a mean that is corrected for bias: the value that it corrects. */
  readonly corrects?: AveragedValue
}

/** Whether a value is a channel's own, not converted: as read or drift corrected, in the channel's `unit`. */
export const isPlain = ({ quantity, unit }: AveragedValue, channelUnit: Unit | undefined): boolean =>
  (quantity === 'as_read' || quantity === 'drift_corrected') && unit === channelUnit

export interface AveragePlan {
  readonly groups: readonly Group[]
  readonly values: readonly AveragedValue[]
}

/** Whether a channel's readings are changed before they are averaged: a zero, a span factor, a dilution, another gas. `zeroed`: by zeros or checks. */
export function isCorrected(station: StationFile, index: number, zeroed: (channel: number) => boolean): boolean {
  const channel = station.channels[index]
  if (!channel || channel.sumOf)
    return Boolean(
      channel?.sumOf?.some((id) =>
        isCorrected(
          station,
          station.channels.findIndex((other) => other.id === id),
          zeroed,
        ),
      ),
    )
  const span = station.corrections.span[channel.id] ?? 1
  return (
    zeroed(index) ||
    span !== 1 ||
    isDiluted(station, channel) ||
    station.corrections.crossSensitivity[channel.id] !== undefined
  )
}

/** What is averaged, and which readings must count together for it (docs/calculations.md). */
export function averagePlan(
  station: StationFile,
  plan: ConversionPlan,
  zeroed: (channel: number) => boolean,
): AveragePlan {
  const groups: Group[] = []
  const values: AveragedValue[] = []
  const known = new Map<string, number>()
  const streamOf = (index: number): string => {
    const channel = station.channels[index]
    const own = channel?.sumOf ? station.channels.find(({ id }) => id === channel.sumOf?.[0]) : channel
    return own?.stream ?? ''
  }
  const groupOf = (lanes: readonly Lane[], needs: readonly number[]): number => {
    const key = JSON.stringify([lanes, needs])
    const found = known.get(key)
    if (found !== undefined) return found
    const streams = new Set(needs.map(streamOf))
    groups.push({
      stream: streams.size === 1 ? (needs[0] === undefined ? null : streamOf(needs[0])) : null,
      lanes,
      needs,
    })
    known.set(key, groups.length - 1)
    return groups.length - 1
  }
  station.channels.forEach((channel, index) => {
    const plain = (quantity: 'as_read' | 'drift_corrected', group: number): AveragedValue => ({
      channel: index,
      quantity,
      unit: channel.unit,
      basis: channel.species ? channel.basis : null,
      referenceOxygen: channel.referenceOxygen ?? null,
      conditions: null,
      group,
      convert: null,
    })
    values.push(plain('as_read', groupOf([{ from: 'raw', channel: index }], [index])))
    if (isCorrected(station, index, zeroed))
      values.push(plain('drift_corrected', groupOf([{ from: 'corrected', channel: index }], [index])))
    plan.values.forEach((value, number) => {
      if (value.channel !== index) return
      const { quantity, unit, basis, referenceOxygen, conditions, inputs } = value
      const byReading = station.conversions.applyTo === 'readings' && new Set(inputs.map(streamOf)).size === 1
      const group = byReading
        ? groupOf([{ from: 'converted', value: number, channel: index }], inputs)
        : groupOf(
            inputs.map((input) => ({ from: 'corrected', channel: input }) as const),
            inputs,
          )
      values.push({
        channel: index,
        quantity,
        unit,
        basis,
        referenceOxygen,
        conditions,
        group,
        convert: byReading ? null : value,
      })
    })
  })
  return { groups, values }
}
