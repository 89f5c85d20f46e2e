import type { MarksAnswer } from '../../protocols/live/requests.ts'
import type { ValueQuantity } from '../../protocols/words/quantities.ts'
import { averageLengthMs } from '../../protocols/words/time.ts'
import type { MarksQuery } from '../http/station-face.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'
import { flagsOf } from './flags.ts'

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
  /** By channel and quantity. */
  readonly of: Map<string, { readonly mean: number | null; readonly valid: boolean }>
}

function stepsOf(reader: RecordingReader, { fromMs, toMs, average, channels }: MarksQuery): Steps {
  const steps: Step[] = []
  const known = new Set<string>()
  // A block that began before the stretch reaches into it.
  const lengthMs = averageLengthMs(average ?? '') ?? 0
  for (const { startMs, endMs, channel, quantity, mean, valid } of average === undefined
    ? []
    : reader.blockMeans(average, fromMs - lengthMs, toMs)) {
    if (endMs <= fromMs) continue
    let last = steps.at(-1)
    if (last?.startMs !== startMs || last.endMs !== endMs) {
      last = { startMs, endMs, of: new Map() }
      steps.push(last)
    }
    const key = `${channel}/${quantity}`
    known.add(key)
    last.of.set(key, { mean, valid })
  }
  const wanted = (Object.keys(fitting) as (keyof typeof fitting)[]).flatMap((value) =>
    channels[value].flatMap((channel) => {
      const quantity = fitting[value].find((one) => known.has(`${channel}/${one}`))
      return quantity ? [{ channel, quantity, key: `${channel}/${quantity}` }] : []
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
