import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { RecordedEvent, RunEvent } from '../engine/events.ts'
import type { HistoryFilter } from './average-history.ts'
import type { AverageFilter, ShownMean } from './averages.ts'
import { asDamage, type Connection, openForReading } from './database.ts'
import { derivedTables } from './derived.ts'
import { eventTable } from './events.ts'
import { readHeader } from './header.ts'
import { type InputFilter, inputPages, newestInput, newestLived } from './inputs.ts'
import type { Notice } from './notices.ts'
import type { AverageChange, RecordingHeader } from './recording.ts'
import { type RecordedRunState, runStateAfter, timePassesIn } from './run-state.ts'
import type { Seal } from './seal.ts'
import { sealTable } from './seals.ts'
import type { PhaseColumns, PhaseSpan, PlantSpan, SpanFilter } from './spans.ts'
import type { ColumnsOfTime, TimeFilter } from './time-filter.ts'
import type { StageMinute, TraceStage } from './trace.ts'
import type { StageHour } from './trace-hours.ts'
import { writerTable } from './writer-row.ts'
import type { Zero } from './zeros.ts'

const averagesPerPage = 250

/** How much a recording holds, as of one moment. */
export interface RecordingExtent {
  readonly lines: number
  readonly events: number
  readonly lastSequence: number
  /** Station times of the first input and of the newest that is no amendment, ms; null in an empty recording. */
  readonly firstMs: number | null
  readonly lastMs: number | null
  /** Hash of the newest seal: keep it elsewhere, and a shortened file is found out. */
  readonly head: string | null
  readonly seals: number
}

/** By columns of time, told apart by what decides how much they matter. */
export interface LogbookColumns {
  readonly alarms: ReturnType<ReturnType<typeof derivedTables>['alarm']['byColumn']>
  readonly notices: ReturnType<ReturnType<typeof derivedTables>['notice']['byColumn']>
  readonly links: ReturnType<ReturnType<typeof eventTable>['linksByColumn']>
}

/**
 * Reads one recording, also while it is written. Each call reads as of its moment and holds nothing open afterwards; all
 * are synchronous, so that long work belongs into a worker thread. Content that cannot be throws a `RecordingTrouble`.
 */
export interface RecordingReader {
  readonly path: string
  readonly header: RecordingHeader
  readonly settingsSha256: string
  /** Inputs in order of their numbers. Lines carry their number; `pageSize` are in memory at once. */
  inputs(filter?: InputFilter): Generator<RecordedEvent>
  /** The same by pages: the faster way through a long recording. */
  inputPages(filter?: InputFilter): Generator<RecordedEvent[]>
  /** What several calls read, as of one moment. */
  asOfOneMoment<T>(read: () => T): T
  /** All inputs but lines, in order. */
  changes(): RecordedEvent[]
  extent(): RecordingExtent
  blocks(filter?: AverageFilter): AverageRow[]
  rolling(filter?: AverageFilter): AverageRow[]
  /** Averages of a kind in order of start, a page at a time. */
  averagePages(kind: 'block' | 'rolling', filter?: AverageFilter): Generator<AverageRow[]>
  /** How many averages there are, of both kinds. */
  averagesInAll(): number
  /** What averages were before they were changed, in the order of the changes; a page of them is in memory at once. */
  history(of?: HistoryFilter): Generator<AverageChange>
  newestHistory(most: number): AverageChange[]
  historyInAll(): number
  alarms(filter?: TimeFilter): AlarmTransition[]
  phaseSpans(filter?: SpanFilter): PhaseSpan[]
  /** Phases by stream, in columns: for charts, which need no more of them. */
  phaseColumns(fromMs: number, toMs: number): ReadonlyMap<string, PhaseColumns>
  /** Means of blocks of one length that start in [fromMs, toMs). */
  blockMeans(average: string, fromMs: number, toMs: number): ShownMean[]
  plantSpans(): PlantSpan[]
  zeros(filter?: TimeFilter): Zero[]
  notices(filter?: TimeFilter): Notice[]
  /** What operators did, all of it, and of other inputs that are no lines those of a time. */
  operatorChanges(): RecordedEvent[]
  runAndClockChanges(): RecordedEvent[]
  otherChanges(filter: TimeFilter): RecordedEvent[]
  /** How many rows there are for the logbook, beside what operators did. */
  logbookCounts(filter: TimeFilter): Readonly<Record<'alarms' | 'zeros' | 'notices' | 'changes', number>>
  /** The same by columns of time, for charts; zeros are not among them. */
  logbookColumns(columns: ColumnsOfTime): LogbookColumns
  /** When the first minute of a stream begins that is kept for charts and starts in [fromMs, toMs). */
  traceMinuteFrom(stream: string, fromMs: number, toMs: number): number | null
  /** Minutes of some channels that start in [fromMs, toMs), at one stage of their values. */
  traceStage(
    stream: string,
    fromMs: number,
    toMs: number,
    channels: readonly string[],
    stage: TraceStage,
  ): StageMinute[]
  /** Hours of a channel that start in [fromMs, toMs), at one stage of its value; none in recordings made before hours were kept. */
  traceHours(stream: string, channel: string, fromMs: number, toMs: number, stage: TraceStage): StageHour[]
  runState(): RecordedRunState
  /** Something derived is missing: it is being derived anew, or was when its writer was killed, or rows were not taken. */
  isDerivedInPart(): boolean
  /** Its writer did not close it and left the run going. True also while a station writes on it: who holds the data folder knows. */
  wasKilled(): boolean
  close(): void
}

/** Opens a recording for reading. Throws a `RecordingTrouble`: no such file, no recording, newer, damaged. */
export function openRecording(path: string): RecordingReader {
  const db = openForReading(path)
  try {
    return reader(path, db)
  } catch (error) {
    db.close()
    throw asDamage(error, path)
  }
}

function reader(path: string, db: Connection): RecordingReader {
  const { header, settingsSha256 } = readHeader(db)
  const derived = derivedTables(db)
  const events = eventTable(db)
  const seals = sealTable(db)
  const writer = writerTable(db)
  const runState = (): RecordedRunState =>
    runStateAfter(
      events
        .runAndClock()
        .map(({ event }) => event)
        .findLast((event): event is RunEvent => event.kind === 'run'),
    )
  const orDamage = <T>(read: () => T): T => {
    try {
      return read()
    } catch (error) {
      throw asDamage(error, path)
    }
  }
  const eachOf = function* <T>(found: Generator<T>): Generator<T> {
    for (let next = orDamage(() => found.next()); !next.done; next = orDamage(() => found.next())) yield next.value
  }
  return {
    path,
    header,
    settingsSha256,
    inputPages: (filter = {}) => eachOf(inputPages(db, filter)),
    *inputs(filter) {
      for (const page of eachOf(inputPages(db, filter ?? {}))) yield* page
    },
    asOfOneMoment: (read) => orDamage(db.transaction(read)),
    changes: () => orDamage(() => events.all().map(({ event }) => event)),
    extent: () => orDamage(db.transaction(() => extent(db, events.count(), seals.newest()))),
    blocks: (filter = {}) => orDamage(() => derived.block.read(filter)),
    rolling: (filter = {}) => orDamage(() => derived.rolling.read(filter)),
    averagePages: (kind, filter = {}) => eachOf(derived[kind].pages(averagesPerPage, filter)),
    averagesInAll: () => orDamage(() => derived.block.count() + derived.rolling.count()),
    *history(of) {
      for (const page of eachOf(derived.history.pages(averagesPerPage, of))) yield* page
    },
    newestHistory: (most) => orDamage(() => derived.history.newest(most)),
    historyInAll: () => orDamage(() => derived.history.count()),
    alarms: (filter) => orDamage(() => derived.alarm.read(filter)),
    phaseSpans: (filter = {}) => orDamage(() => derived.phaseSpan.read(filter)),
    phaseColumns: (fromMs, toMs) => orDamage(() => derived.phaseSpan.columns(fromMs, toMs)),
    blockMeans: (average, fromMs, toMs) => orDamage(() => [...derived.block.means(average, fromMs, toMs)]),
    plantSpans: () => orDamage(() => derived.plantSpan.read()),
    zeros: (filter) => orDamage(() => derived.zero.read(filter)),
    notices: (filter) => orDamage(() => derived.notice.read(filter)),
    operatorChanges: () => orDamage(() => events.ofOperators().map(({ event }) => event)),
    runAndClockChanges: () => orDamage(() => events.runAndClock().map(({ event }) => event)),
    otherChanges: (filter) => orDamage(() => events.besideOperators(filter).map(({ event }) => event)),
    logbookCounts: (filter) =>
      orDamage(() => ({
        alarms: derived.alarm.count(filter),
        zeros: derived.zero.count(filter),
        notices: derived.notice.count(filter),
        changes: events.countBesideOperators(filter),
      })),
    logbookColumns: (columns) =>
      orDamage(() => ({
        alarms: derived.alarm.byColumn(columns),
        notices: derived.notice.byColumn(columns),
        links: events.linksByColumn(columns),
      })),
    traceMinuteFrom: (stream, fromMs, toMs) => orDamage(() => derived.trace.minuteFrom(stream, fromMs, toMs)),
    traceStage: (stream, fromMs, toMs, channels, stage) =>
      orDamage(() => [...derived.trace.stage(stream, fromMs, toMs, channels, stage)]),
    traceHours: (stream, channel, fromMs, toMs, stage) =>
      orDamage(() => derived.traceHour.stage(stream, channel, fromMs, toMs, stage)),
    runState: () => orDamage(runState),
    isDerivedInPart: () => orDamage(() => writer.isDeriving()),
    wasKilled: () => orDamage(() => !writer.isClosed() && timePassesIn(runState())),
    close: () => {
      db.close()
    },
  }
}

/** Numbers have no holes, so that lines need not be counted one by one; `verifySeals` tells where one has. */
function extent(db: Connection, events: number, newestSeal: Seal | null | undefined): RecordingExtent {
  const newest = newestInput(db)
  const first = newest && inputPages(db, { pageSize: 1 }).next().value?.[0]
  const lastSequence = newest?.sequence ?? 0
  return {
    lines: lastSequence - events,
    events,
    lastSequence,
    firstMs: first?.atMs ?? null,
    lastMs: newestLived(db) ?? newest?.atMs ?? null,
    head: newestSeal?.hash ?? null,
    seals: newestSeal?.number ?? 0,
  }
}
