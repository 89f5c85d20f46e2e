import type { AveragedValue, AveragePlan } from '../averaging/average-values.ts'
import { membersOf, moistureOf, ownParts } from '../conversions/channel-gas.ts'
import type { ConversionPlan, ConvertedValue } from '../conversions/conversion-plan.ts'
import { isDiluted, tellsDilution } from '../corrections/diluted.ts'
import { isZeroed } from '../corrections/zeroable.ts'
import type { StationFile } from '../settings/station-shape.ts'
import { type Papers, papersOf } from './papers.ts'

/** One measured quantity that a value is formed from. */
export interface BudgetInput {
  readonly channel: number
  readonly papers: Papers
  readonly t95Seconds: number
  /** The group of its channel alone, whose readings tell its mean and scatter. */
  readonly group: number
  /** What is done about its zero: subtracted, left in, or of no purge's business. */
  readonly zero: 'subtracted' | 'left-in' | 'not-seen'
  /** What the dilution makes of one unit that the cell shows; 1 where the sample is not diluted, or the value is as read. */
  readonly perUnitShown: number | 'told'
  /** Wet gas that the conversion makes dry. */
  readonly isDried: boolean
  /** Groups of the gases that it may read beside its own, and how much of each. */
  readonly cross: readonly { readonly channel: number; readonly group: number; readonly factor: number }[]
}

/** All that the budget of one averaged value needs, worked out once. */
export interface ValuePlan {
  readonly value: AveragedValue
  readonly inputs: readonly BudgetInput[]
  /** null: the value is Σ input · factor. */
  readonly convert: ConvertedValue | null
  readonly factors: readonly number[]
  /** Standard uncertainty of a fixed moisture, share of the wet gas, over 1 − H2O; 0 where it is measured or has no part. */
  readonly fixedMoisture: number
}

/** Budgets of all gas values of a part; values of what is no gas have none. */
export function budgetPlans(station: StationFile, plan: ConversionPlan, part: Part): Map<AveragedValue, ValuePlan> {
  const alone = groupsAlone(part)
  return new Map(
    part.values.flatMap((value): [AveragedValue, ValuePlan][] => {
      const made = planOf(station, plan, value, alone)
      return made ? [[value, made]] : []
    }),
  )
}

type Part = Pick<AveragePlan, 'groups' | 'values'>
type Alone = ReadonlyMap<string, number>
const key = (from: string, channel: number): string => `${from} ${channel}`

/** The groups of single channels: `raw 3` → its group. */
function groupsAlone(part: Part): Alone {
  const found = new Map<string, number>()
  part.groups.forEach(({ lanes, needs }, group) => {
    const [lane] = lanes
    if (lane && lanes.length === 1 && needs.length === 1 && lane.from !== 'converted')
      found.set(key(lane.from, lane.channel), group)
  })
  return found
}

const corrected = (alone: Alone, channel: number): number =>
  alone.get(key('corrected', channel)) ?? alone.get(key('raw', channel)) ?? -1

function planOf(station: StationFile, plan: ConversionPlan, value: AveragedValue, alone: Alone): ValuePlan | null {
  if (!station.channels[value.channel]?.species) return null
  const convert =
    value.convert ??
    plan.values.find(
      ({ channel, quantity, unit }) => channel === value.channel && quantity === value.quantity && unit === value.unit,
    ) ??
    null
  const isRaw = value.quantity === 'as_read'
  const members = membersOf(station, value.channel)
  const channels = convert?.inputs ?? members
  const inputs: BudgetInput[] = []
  for (const channel of channels) {
    const group = isRaw ? (alone.get(key('raw', channel)) ?? -1) : corrected(alone, channel)
    if (group < 0) return null
    const makesDry = convert !== null && convert.basis !== 'wet' && moistureOf(station) !== null
    inputs.push({
      channel,
      papers: papersOf(station, channel, isRaw),
      t95Seconds: station.channels[channel]?.t95Seconds ?? 0,
      group,
      zero: !isZeroed(station, channel) ? 'not-seen' : isRaw ? 'left-in' : 'subtracted',
      perUnitShown: isRaw ? 1 : dilutionOf(station, channel),
      isDried: makesDry && station.channels[channel]?.basis === 'wet' && channel !== plan.moisture,
      cross: papersOf(station, channel, isRaw).crossSensitivity.flatMap(({ channel: other, factor }) => {
        const beside = corrected(alone, other)
        return beside < 0 ? [] : [{ channel: other, group: beside, factor }]
      }),
    })
  }
  const parts = convert ? [] : (ownParts(station, value.channel, value.unit) ?? [])
  return {
    value,
    inputs,
    convert,
    factors: channels.map((_, place) => parts[place]?.factor ?? 1),
    fixedMoisture: inputs.some(({ isDried }) => isDried) ? fixedMoistureDoubt(station) : 0,
  }
}

function dilutionOf(station: StationFile, index: number): BudgetInput['perUnitShown'] {
  const channel = station.channels[index]
  if (!channel || !isDiluted(station, channel)) return 1
  const stream = station.streams.find(({ id }) => id === channel.stream)
  return stream && tellsDilution(stream) ? 'told' : (stream?.dilution ?? 1)
}

/** A fixed moisture is off by a tenth of itself unless the station file says by how much (half-width; our choice). */
function fixedMoistureDoubt(station: StationFile): number {
  const { moisture, moisturePlusMinus } = station.conversions
  if (!moisture || !('percent' in moisture)) return 0
  const halfWidth = (moisturePlusMinus ?? moisture.percent / 10) / 100
  return halfWidth / Math.sqrt(3) / Math.max(0.05, 1 - moisture.percent / 100)
}
