import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { anyWholeRun, isWholeRun } from '../../../protocols/words/time.ts'
import type { LimitAlarm } from '../alarms/alarm.ts'
import { valueOfLimit } from '../alarms/limit-value.ts'
import type { AveragedValue, AveragePlan } from '../averaging/average-values.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { StationFile } from '../settings/station-file.ts'
import { decimalsOf } from './rounding.ts'
import type { ComparedLimit } from './verdict.ts'

export interface LimitOfMean extends ComparedLimit {
  readonly id: string
}
/** The limits of averages, by what they are compared with; see `limitKey`. */
export type LimitsOfMeans = ReadonlyMap<string, readonly LimitOfMean[]>

type Of = 'block' | 'rolling'
type ValueOfRow = Pick<AverageRow, 'channel' | 'quantity' | 'unit'>

/** `average`: a row's; all whole runs are `run`, however long. */
export const limitKey = (of: Of, average: string, { channel, quantity, unit }: ValueOfRow): string =>
  `${of}/${isWholeRun(average) ? anyWholeRun : average}/${channel}/${quantity}/${unit}`

/** The limits of blocks, rolling averages, days and runs. */
export function limitsOfMeans(
  station: StationFile,
  conversions: ConversionPlan,
  averages: AveragePlan,
  limits: readonly LimitAlarm[],
): LimitsOfMeans {
  const byRow = new Map<string, LimitOfMean[]>()
  for (const { limitId, index, settings } of limits) {
    const { of, average, kind, value, decimals } = settings
    if (of === 'reading' || average === undefined) continue
    const compared = valueOfLimit(station, conversions, averages, index)
    if (!compared) continue
    const key = limitKey(of, average, { ...compared, channel: settings.channel })
    const limit = { id: limitId, kind, value, digits: { decimals: decimals ?? decimalsOf(value) } }
    byRow.set(key, [...(byRow.get(key) ?? []), limit])
  }
  return byRow
}

/** The limits of one averaged value: `block/PT30M`, `rolling/PT4H`, `block/run` → its limits. */
export function limitsOfValue(limits: LimitsOfMeans, station: StationFile, value: AveragedValue): LimitsOfMeans {
  const channel = station.channels[value.channel]?.id ?? ''
  const tail = limitKey('block', '', { ...value, channel }).slice('block/'.length)
  return new Map(
    [...limits].flatMap(([key, found]) => (key.endsWith(tail) ? [[key.slice(0, -tail.length), found]] : [])),
  )
}
