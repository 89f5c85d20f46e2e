import type { ExplainAnswer } from '../../../protocols/live/explain.ts'
import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import { engineVersion } from '../../engine/engine-version.ts'
import type { LineEvent } from '../../engine/events.ts'
import { withPassingTime } from '../../engine/passing-time.ts'
import type { EngineOptions, EngineState } from '../../engine/state.ts'
import { createEngine } from '../../engine/state.ts'
import { step } from '../../engine/step.ts'
import { nextDueMs } from '../../engine/timers.ts'
import { amendmentsOf } from '../../engine/told-amendments.ts'
import type { TraceRequest } from '../../engine/tracing/traced.ts'
import type { Tracer } from '../../engine/tracing/tracer.ts'
import { budgetLines } from '../../engine/uncertainty/budget-lines.ts'
import { openRecording, type RecordingReader } from '../../recording/recording-reader.ts'
import { timePassesIn } from '../../recording/run-state.ts'
import { Trouble } from '../../trouble.ts'
import { isRow } from '../amendments/row-changes.ts'
import { StoredAverages } from '../amendments/stored-averages.ts'
import { stationFromSettings } from '../recorded-settings.ts'
import { rowDifferences } from '../row-comparison.ts'
import { letTimePass } from '../time-alone.ts'
import { explainedChannels } from './explained-channels.ts'
import { correctionWords, explainedCheck, explainedSpans, zeroCourses, zerosUsed } from './explained-corrections.ts'
import { explainedMinutes, explainedReadings, stretchesOf } from './explained-readings.ts'
import { calculationOf, validityRule } from './explained-steps.ts'
import { type AverageQuestion, findAverage } from './find-average.ts'

/** Which of the readings an answer holds: all, or a page of them. */
export interface ReadingsAsked {
  readonly from: number
  readonly most: number
}

const allReadings: ReadingsAsked = { from: 0, most: Number.POSITIVE_INFINITY }

/**
 * One average of a recording down to its raw lines: the engine goes through the recording once more and writes down what
 * goes into it. A `Trouble` (wrong use) says what exists nearby where there is no such average.
 */
export function explainRecording(path: string, asked: AverageQuestion, page = allReadings): ExplainAnswer {
  const reader = openRecording(path)
  try {
    return explained(reader, asked, page)
  } finally {
    reader.close()
  }
}

function explained(reader: RecordingReader, asked: AverageQuestion, page: ReadingsAsked): ExplainAnswer {
  const { header } = reader
  const station = stationFromSettings(header.settings)
  const amendments = amendmentsOf(reader.changes())
  const options = { amendments, unendedCounts: header.origin === 'imported' }
  const found = findAverage(reader, station, asked, () => openRows(driven(reader, station, options, () => false)))
  const { kind } = found
  const { channel, quantity, unit, average, startMs, endMs } = found.row
  const trace: TraceRequest = { channel, quantity, unit, average, startMs, endMs }
  let row: AverageRow | null = null
  const take = (rowKind: 'block' | 'rolling', candidate: AverageRow): boolean => {
    if (rowKind !== kind || !isAsked(candidate, trace)) return false
    row = candidate
    return candidate.state === 'final'
  }
  const engine = driven(reader, station, { ...options, trace }, take)
  if (found.isStored && timePassesIn(reader.runState()))
    letTimeBring(engine, new StoredAverages(reader), found.row, () => row, take)
  row ??= openRows(engine).find((candidate) => isAsked(candidate, trace)) ?? null
  const tracer = engine.context.trace
  if (row === null || tracer === null)
    throw new Trouble(
      `the lines do not give the average of ${channel} that is stored from ${new Date(startMs).toISOString()} on: verify tells what was changed`,
      1,
    )
  return answered(reader, engine, tracer, row, found, page)
}

function answered(
  reader: RecordingReader,
  engine: EngineState,
  tracer: Tracer,
  row: AverageRow,
  { kind, row: stored, isStored }: ReturnType<typeof findAverage>,
  page: ReadingsAsked,
): ExplainAnswer {
  const { header } = reader
  const { station } = engine.context
  const exactly = header.engineVersion === engineVersion
  const differences = isStored ? rowDifferences(stored, row, exactly) : []
  const sums = tracer.sumsOf(row)
  const readings = tracer.readingsOf(row)
  const shown = readings.slice(page.from, page.from + page.most)
  const zeros = zerosUsed(tracer, readings)
  const texts = lineTexts(reader, [
    ...shown.map(({ sequence }) => sequence),
    ...zeros.flatMap(({ readings }) => readings.map(({ sequence }) => sequence)),
  ])
  return {
    engine: engineVersion,
    recording: {
      run: header.runName,
      station: header.station,
      invented: header.invented,
      engine: header.engineVersion,
      head: reader.extent().head,
    },
    kind,
    row,
    stored: isStored ? stored : null,
    validity: { rule: validityRule(station, row), valid: row.valid },
    agrees: differences.length === 0,
    difference: differences.length === 0 ? null : `stored otherwise than recomputed: ${differences.join(', ')}`,
    channels: explainedChannels(engine, tracer),
    lanes: tracer.lanes(),
    together: tracer.needs(),
    correction: correctionWords,
    zeros: zeros.map((zero) => ({
      ...zero,
      check: zero.check ? explainedCheck(engine.context, zero.check) : null,
      readings: zero.readings.map((reading) => ({ ...reading, line: texts.get(reading.sequence) ?? '' })),
    })),
    zeroCourses: zeroCourses(engine.context, readings),
    spans: explainedSpans(engine.context, tracer, row),
    blocks: tracer.blocksOf(row)?.blocks ?? null,
    stretches: stretchesOf(tracer, row),
    exclusions: exclusionsOf(reader, row, tracer.needs(), station),
    history: [...reader.history({ kind, startMs: row.startMs })]
      .filter((change) => averageKey(change.old) === averageKey(row))
      .map(({ replacedMs, by, reason, old }) => ({ replacedMs, by, reason, mean: old.mean, valid: old.valid })),
    minutes: explainedMinutes(tracer, row),
    joined: tracer.isJoined() ? tracer.joinedOf(row) : null,
    sums: {
      countedMs: sums?.countedMs ?? 0,
      integrals: sums?.integrals ?? [],
      means: (sums?.means ?? []).map((mean) => (Number.isFinite(mean) ? mean : null)),
      count: sums?.count ?? 0,
      denominatorMs: sums?.denominatorMs ?? 0,
    },
    steps: calculationOf(engine, tracer, row),
    uncertainty: sums?.budget ? budgetLines(sums.budget) : [],
    limits: row.verdicts.flatMap(({ limit, verdict }) => {
      const settings = station.limits.find(({ id }) => id === limit)
      return settings ? [{ limit, value: settings.value, unit: settings.unit, verdict }] : []
    }),
    readingsInAll: readings.length,
    readingsFrom: page.from,
    readings: explainedReadings(tracer, shown, texts),
  }
}

const isAsked = (row: AverageRow, trace: TraceRequest): boolean =>
  row.channel === trace.channel &&
  row.quantity === trace.quantity &&
  row.unit === trace.unit &&
  row.average === trace.average &&
  row.startMs === trace.startMs

function openRows(engine: EngineState): AverageRow[] {
  return [
    ...engine.streams.flatMap((stream) => stream.averages.openRows()),
    ...(engine.context.crossStream?.openRows() ?? []),
  ]
}

/** Goes through the recording until `isEnough` of what it is told. */
function driven(
  reader: RecordingReader,
  station: EngineState['context']['station'],
  options: EngineOptions,
  isEnough: (kind: 'block' | 'rolling', row: AverageRow) => boolean,
): EngineState {
  const engine = createEngine(station, options)
  for (const event of withPassingTime(reader.inputs())) {
    const [, outputs] = step(engine, event)
    let enough = false
    for (const output of outputs) if (isRow(output)) enough = isEnough(output.kind, output.row) || enough
    if (enough) break
  }
  return engine
}

/** What is stored may have come by time alone, after the last input: then it comes here so too. */
function letTimeBring(
  engine: EngineState,
  averages: StoredAverages,
  stored: AverageRow,
  given: () => AverageRow | null,
  take: (kind: 'block' | 'rolling', row: AverageRow) => boolean,
): void {
  const isThere = (): boolean => ['final', stored.state].includes(given()?.state ?? '')
  if (isThere()) return
  letTimePass({ nextDueMs: () => nextDueMs(engine), step: (event) => step(engine, event)[1] }, (outputs) => {
    const rows = outputs.filter(isRow)
    for (const { kind, row } of rows) take(kind, row)
    if (rows.length === 0) return null
    return !isThere() && rows.some(({ kind, row }) => averages.of(kind, row) !== undefined)
  })
}

/** Lines are looked up so many numbers at a time. */
const linesAtOnce = 2000

/** The lines of these numbers as text, without their ends. */
function lineTexts(reader: RecordingReader, sequences: readonly number[]): Map<number, string> {
  const texts = new Map<number, string>()
  const wanted = new Set(sequences)
  let upTo = 0
  for (const first of [...wanted].sort((a, b) => a - b)) {
    if (first < upTo) continue
    upTo = first + linesAtOnce
    for (const event of reader.inputs({ afterSequence: first - 1, pageSize: linesAtOnce })) {
      if (event.kind !== 'line') continue
      if (event.sequence >= upTo) break
      if (wanted.has(event.sequence)) texts.set(event.sequence, lineText(event))
    }
  }
  return texts
}

const lineText = ({ bytes }: LineEvent): string =>
  Buffer.from(bytes)
    .toString('utf8')
    .replace(/[\r\n]+$/, '')

function exclusionsOf(
  reader: RecordingReader,
  row: AverageRow,
  together: readonly string[],
  station: EngineState['context']['station'],
): ExplainAnswer['exclusions'] {
  const concerned = new Set(
    together.flatMap((id) => [id, ...(station.channels.find((channel) => channel.id === id)?.sumOf ?? [])]),
  )
  return amendmentsOf(reader.changes()).exclusions.filter(
    ({ fromMs, toMs, channel, stream }) =>
      fromMs < row.endMs &&
      toMs > row.startMs &&
      (channel === null || concerned.has(channel)) &&
      (stream === null || stream === row.stream),
  )
}
