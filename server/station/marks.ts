import type { MarksAnswer } from '../../protocols/live/requests.ts'
import type { ValueQuantity } from '../../protocols/words/quantities.ts'
import { averageLengthMs } from '../../protocols/words/time.ts'
import type { Unit } from '../../protocols/words/units.ts'
import { conversionPlan } from '../engine/conversions/conversion-plan.ts'
import type { MarksQuery } from '../http/station-face.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'
import { flagsOf } from './flags.ts'
import { stationFromSettings } from './recorded-settings.ts'

/** The value of blocks that fits what a trend shows, the best that there is first. */
const fitting: Readonly<Record<keyof MarksQuery['channels'], readonly ValueQuantity[]>> = {
  asRead: ['as_read'],
  corrected: ['drift_corrected', 'as_read'],
  referred: ['at_reference_oxygen', 'mass_concentration'],
}

/** What lies under and over the traces of charts, in columns. */
export const marksOf = (reader: RecordingReader, query: MarksQuery): MarksAnswer => ({
  phases: Object.fromEntries(reader.phaseColumns(query.fromMs, query.toMs)),
  steps: stepsOf(reader, query),
  flags:
    query.fromMs < query.flagsToMs
      ? flagsOf(reader, {
          fromMs: query.fromMs,
          toMs: query.flagsToMs,
          columnMs: (query.toMs - query.fromMs) / query.columns,
        })
      : [],
})

type Steps = MarksAnswer['steps']
interface Step {
  readonly startMs: number
  readonly endMs: number
  /** By channel, quantity and unit. */
  readonly of: Map<string, { readonly mean: number | null; readonly valid: boolean }>
}

function stepsOf(reader: RecordingReader, { fromMs, toMs, average, channels }: MarksQuery): Steps {
  const steps: Step[] = []
  /** The units of each channel and quantity: limits may ask for several. */
  const known = new Map<string, Set<Unit>>()
  // A block that began before the stretch reaches into it.
  const lengthMs = averageLengthMs(average ?? '') ?? 0
  for (const { startMs, endMs, channel, quantity, unit, mean, valid } of average === undefined
    ? []
    : reader.blockMeans(average, fromMs - lengthMs, toMs)) {
    if (endMs <= fromMs) continue
    let last = steps.at(-1)
    if (last?.startMs !== startMs || last.endMs !== endMs) {
      last = { startMs, endMs, of: new Map() }
      steps.push(last)
    }
    const key = `${channel}/${quantity}`
    const units = known.get(key)
    if (units) units.add(unit)
    else known.set(key, new Set([unit]))
    last.of.set(`${key}/${unit}`, { mean, valid })
  }
  const wanted = (Object.keys(fitting) as (keyof typeof fitting)[]).flatMap((value) =>
    channels[value].flatMap((channel) => {
      const quantity = fitting[value].find((one) => known.has(`${channel}/${one}`))
      const units = [...(known.get(`${channel}/${quantity}`) ?? [])]
      const unit = units.length > 1 ? unitShown(reader, channel, value) : units[0]
      return quantity && unit ? [{ channel, quantity, key: `${channel}/${quantity}/${unit}` }] : []
    }),
  )
  return {
    startMs: steps.map(({ startMs }) => startMs),
    endMs: steps.map(({ endMs }) => endMs),
    channels: Object.fromEntries(
      wanted.map(({ channel, quantity, key }) => [
        channel,
        {
          quantity,
          mean: steps.map(({ of }) => of.get(key)?.mean ?? null),
          valid: steps.map(({ of }) => (of.get(key)?.valid ? 1 : 0)),
        },
      ]),
    ),
  }
}

/** The unit of a channel's trace at a stage. */
function unitShown(reader: RecordingReader, channel: string, stage: keyof typeof fitting): Unit | undefined {
  const station = stationFromSettings(reader.header.settings)
  const index = station.channels.findIndex(({ id }) => id === channel)
  if (stage !== 'referred') return station.channels[index]?.unit
  const { referred, values } = conversionPlan(station)
  return values[referred[index] ?? -1]?.unit
}
