import {
  type AlarmStanding,
  type LogbookEntry,
  liveProtocolVersion,
  type Outlook,
  type PhaseSpan,
  type ReadingState,
  type SnapshotMessage,
  type StreamState,
} from '../../../protocols/live/messages.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { blockStart, endedRows, rowsOfBlock } from './averages.ts'
import { channels, gap, hour, limits, minute, nightStart, phaseAt, stepMs, valuesAt } from './scenario.ts'

/** What changes by hand beside the invented values. */
export interface Manual {
  alarms: AlarmStanding[]
  logbook: LogbookEntry[]
  runState: 'running' | 'ended' | 'planned'
  /** No lines since then; null: lines come. */
  silentSinceMs: number | null
}

type AverageRow = SnapshotMessage['openBlocks'][number]
const lengths = ['PT1M', 'PT30M', 'PT1H'] as IsoDuration[]
export const recordingId = 'night-24-november'

export function readingAt(atMs: number): ReadingState | null {
  const values = valuesAt(atMs)
  return values && { stream: 'main', atMs, phase: phaseAt(atMs).phase, plant: 'running', values }
}

export function spansBetween(fromMs: number, toMs: number): PhaseSpan[] {
  const spans: PhaseSpan[] = []
  for (let at = Math.max(fromMs, nightStart); at < toMs; ) {
    const { phase, sinceMs, untilMs } = phaseAt(at)
    spans.push({
      stream: 'main',
      phase,
      startMs: sinceMs,
      endMs: untilMs > toMs ? null : untilMs,
      cause: phase === 'settle' ? 'settling' : 'status',
      inferred: false,
      readings: Math.round((Math.min(untilMs, toMs) - sinceMs) / stepMs),
    })
    at = untilMs
  }
  return spans
}

export function streamAt(nowMs: number, manual: Manual): StreamState {
  const { phase, sinceMs, untilMs } = phaseAt(nowMs)
  const silent = manual.silentSinceMs
  const following = phase === 'measure' ? 'purge' : phase === 'purge' ? 'settle' : 'measure'
  return {
    id: 'main',
    source: 'tcp 127.0.0.1:7001',
    link: silent === null ? 'open' : 'silent',
    linkSinceMs: silent ?? gap.endMs,
    linkDetail: silent === null ? '' : 'no line; the source is opened again',
    attempt: silent === null ? 0 : 2,
    lastLineMs: silent ?? nowMs,
    expectEverySeconds: stepMs / 1000,
    lines: Math.floor((nowMs - nightStart) / stepMs),
    refused: { unreadable: 3 },
    phase,
    phaseSinceMs: sinceMs,
    phaseCause: phase === 'settle' ? 'settling' : 'status',
    phaseInferred: false,
    next: { phase: following, atMs: untilMs, known: phase === 'settle' ? 'settling' : 'from the cycles so far' },
  }
}

export function outlooksAt(nowMs: number): Outlook[] {
  const startMs = blockStart('PT30M' as IsoDuration, nowMs)
  const rows = rowsOfBlock('PT30M' as IsoDuration, startMs, nowMs)
  return limits.map((limit) => {
    const row = rows.find((found) => found.channel === limit.channel && found.quantity === limit.quantity)
    const soFar = row?.mean ?? null
    const enough = soFar !== null && row !== undefined && row.countedMs >= 3 * minute
    const spread = 6 + (startMs + 30 * minute - nowMs) / minute / 2
    const [low, high] = enough ? [soFar - spread, soFar + spread] : [null, null]
    const heading =
      low === null || high === null
        ? 'cannot-tell'
        : high < limit.value
          ? 'below'
          : low > limit.value
            ? 'above'
            : 'undecided'
    return {
      limit: limit.id,
      channel: limit.channel,
      average: 'PT30M',
      startMs,
      endMs: startMs + 30 * minute,
      soFar,
      likelyLow: low,
      likelyHigh: high,
      heading,
      reachesLimitMs: heading === 'above' || heading === 'undecided' ? startMs + 27 * minute : null,
      validity: (row?.countedMs ?? 0) >= 20 * minute ? 'met' : 'on-course',
      countedMs: row?.countedMs ?? 0,
      neededMs: 20 * minute,
    }
  })
}

const openRows = (nowMs: number): AverageRow[] =>
  lengths.flatMap((average) => rowsOfBlock(average, blockStart(average, nowMs), nowMs))
const countedMs = (nowMs: number) =>
  spansBetween(nightStart, nowMs)
    .filter((span) => span.phase === 'measure')
    .reduce((sum, span) => sum + (span.endMs ?? nowMs) - span.startMs, 0) -
  (gap.endMs - gap.startMs)

export function runningAt(nowMs: number, speed: number, manual: Manual) {
  const of = manual.runState
  return {
    openBlocks: openRows(nowMs),
    outlooks: outlooksAt(nowMs),
    run: {
      recording: recordingId,
      name: 'Night 24 November',
      state: of,
      startMs: nightStart,
      plannedMs: of === 'planned' ? nowMs + 20 * minute : null,
      endMs: of === 'ended' ? nowMs : null,
      elapsedMs: nowMs - nightStart,
      countedMs: countedMs(nowMs),
      endRule: 'after 720 counted minutes',
      number: 1,
      of: 3,
    },
    recording: {
      state: 'recording' as const,
      storedUpToMs: manual.silentSinceMs ?? nowMs - 200,
      waiting: 1,
      bytes: 4_812_800,
      detail: '',
      hoursLeft: 2140,
    },
    clock: { stationMs: nowMs, speed, zone: 'Europe/Berlin', standardTime: false, offsetMinutes: 60 },
  }
}

export function snapshotAt(
  nowMs: number,
  sequence: number,
  manual: Manual,
  more: Pick<SnapshotMessage, 'mode' | 'playback'> & { speed: number; invented?: boolean },
): SnapshotMessage {
  const silent = manual.silentSinceMs
  const lastReading = readingAt(Math.floor((silent ?? nowMs) / 1000) * 1000)
  return {
    type: 'snapshot',
    sequence,
    protocol: liveProtocolVersion,
    version: '0.1.0',
    mode: more.mode,
    invented: more.invented ?? true,
    station: 'Boiler house 2, stack east',
    playback: more.playback,
    ...runningAt(nowMs, more.speed, manual),
    streams: [streamAt(nowMs, manual)],
    plant: { state: 'running', sinceMs: nightStart - 2 * hour },
    channels,
    limits,
    averages: {
      blocks: lengths,
      rolling: ['PT4H'],
      long: [],
      validity: 'two thirds of the block counted',
      align: 'clock',
    },
    results: {
      label: 'both',
      ties: 'half-away',
      decimals: null,
      significantFigures: null,
      comparison: 'absolute',
      uncertainty: 'subtract',
    },
    readings: lastReading ? [lastReading] : [],
    rolling: rowsOfBlock('PT4H' as IsoDuration, nowMs - 4 * hour, nowMs).map((row) => ({
      ...row,
      state: 'final' as const,
    })),
    recentBlocks: endedRows('PT30M' as IsoDuration, nowMs - 6 * hour, nowMs, nowMs),
    alarms: manual.alarms,
    logbook: manual.logbook.toSorted((one, other) => one.atMs - other.atMs).slice(-200),
    phaseSpans: spansBetween(nowMs - 6 * hour, nowMs),
    warnings: [],
    operatorTells: { phase: true, plant: true },
  }
}
