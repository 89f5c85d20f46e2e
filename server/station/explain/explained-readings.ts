import type { ExplainAnswer, ExplainedReading } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { TracedReading } from '../../engine/tracing/traced.ts'
import type { Tracer } from '../../engine/tracing/tracer.ts'

const minuteMs = 60_000

/** Why a reading does not count, in words. */
const flagWords: Readonly<Record<number, string>> = {
  [countFlag.counts]: 'counts',
  [countFlag.missing]: 'missing',
  [countFlag.overRange]: 'told as over range',
  [countFlag.underRange]: 'told as under range',
  [countFlag.unreadable]: 'not readable',
  [countFlag.absent]: 'not in the line',
  [countFlag.outOfRange]: 'out of range',
  [countFlag.notMeasuring]: 'not measuring',
  [countFlag.settling]: 'settling',
  [countFlag.plantNotRunning]: 'plant not running',
  [countFlag.supportOutOfRange]: 'supporting channel out of range',
  [countFlag.instrumentFault]: 'instrument fault',
  [countFlag.noRun]: 'outside the run',
  [countFlag.excluded]: 'excluded',
  [countFlag.interferentInvalid]: 'a gas that its cell also answers to does not count',
}
const flagText = (flag: number): string => flagWords[flag] ?? `flag ${flag}`

/** Why a reading is not in the average: the first of the channels that must count together and does not. */
function whyNot(tracer: Tracer, reading: TracedReading): string | null {
  if (reading.counts) return null
  for (const id of tracer.needs()) {
    const flag = reading.values[id]?.flag
    if (flag !== undefined && flag !== countFlag.counts) return `${id}: ${flagText(flag)}`
  }
  return 'nothing of what it represents lies in this average'
}

export function explainedReadings(
  tracer: Tracer,
  readings: readonly TracedReading[],
  texts: ReadonlyMap<number, string>,
): ExplainedReading[] {
  return readings.map((reading) => ({
    sequence: reading.sequence,
    stream: reading.stream,
    line: texts.get(reading.sequence) ?? '',
    atMs: reading.atMs,
    untilMs: reading.untilMs,
    phase: reading.phase,
    plant: reading.plant,
    counts: reading.counts,
    why: whyNot(tracer, reading),
    parts: (tracer.isJoined() ? [] : reading.parts).map(({ fromMs, toMs, values }) => ({ fromMs, toMs, values })),
    values: Object.fromEntries(
      Object.entries(reading.values).map(([id, { flag, isOnLine: _, ...value }]) => [
        id,
        { ...value, flag: flagText(flag) },
      ]),
    ),
  }))
}

/** The sums by minute, added up reading by reading as the engine does. Minutes in which nothing counted are left out. */
export function explainedMinutes(tracer: Tracer, row: AverageRow): ExplainAnswer['minutes'] {
  if (tracer.isJoined()) return []
  const minutes = new Map<
    number,
    { -readonly [K in keyof ExplainAnswer['minutes'][number]]: ExplainAnswer['minutes'][number][K] }
  >()
  const lanes = tracer.lanes().length
  for (const { sequence, atMs, parts } of tracer.readingsOf(row))
    for (const { fromMs, toMs, values } of parts) {
      const startMs = row.startMs + Math.floor((fromMs - row.startMs) / minuteMs) * minuteMs
      const minute = minutes.get(startMs) ?? {
        startMs,
        countedMs: 0,
        readings: 0,
        integrals: new Array<number>(lanes).fill(0),
        firstSequence: sequence,
        lastSequence: sequence,
      }
      minute.countedMs += toMs - fromMs
      minute.integrals = minute.integrals.map((sum, lane) => sum + (values[lane] as number) * (toMs - fromMs))
      minute.lastSequence = sequence
      if (atMs === fromMs) minute.readings++
      minutes.set(startMs, minute)
    }
  return [...minutes.values()].sort((a, b) => a.startMs - b.startMs)
}

type Stretch = ExplainAnswer['stretches'][number]

/** What the time of the average was spent on: stretches of readings that count or do not for one reason, and gaps between. */
export function stretchesOf(tracer: Tracer, row: AverageRow): Stretch[] {
  const stretches: Stretch[] = []
  const put = (next: Stretch): void => {
    const last = stretches.at(-1)
    if (last && last.toMs === next.fromMs && last.what === next.what && last.reason === next.reason)
      stretches[stretches.length - 1] = { ...last, toMs: next.toMs, readings: last.readings + next.readings }
    else if (next.toMs > next.fromMs) stretches.push(next)
  }
  const nothing = (fromMs: number, toMs: number): void =>
    put({ fromMs, toMs, what: 'no readings', counts: false, readings: 0, reason: 'no line tells of this time' })
  let at = row.startMs
  for (const reading of tracer.readingsOf(row)) {
    if (reading.stream !== row.stream) continue
    const fromMs = Math.max(row.startMs, reading.atMs)
    const toMs = Math.min(row.endMs, reading.untilMs)
    if (fromMs > at) nothing(at, fromMs)
    put({
      fromMs,
      toMs,
      what: reading.phase,
      counts: reading.counts,
      readings: reading.atMs >= row.startMs ? 1 : 0,
      reason: whyNot(tracer, reading),
    })
    at = Math.max(at, toMs)
  }
  if (at < row.endMs) nothing(at, row.endMs)
  return stretches
}
