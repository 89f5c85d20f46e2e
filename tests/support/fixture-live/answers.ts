import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { MarksAnswer, RecordingSummary, SeriesAnswer } from '../../../protocols/live/requests.ts'
import { durationMs, type IsoDuration } from '../../../protocols/words/time.ts'
import { endedRows, rowsOfBlock } from './averages.ts'
import { flagsAnswer } from './logbook-answers.ts'
import { channels, hour, nightStart, stepMs, valuesAt } from './scenario.ts'
import { recordingId, spansBetween } from './snapshot.ts'

/** The series of channels, at most `columns` wide; each column looks at up to twelve seconds spread over it. */
export function seriesOf(
  ids: readonly string[],
  value: 'asRead' | 'corrected' | 'referred',
  fromMs: number,
  toMs: number,
  columns: number,
  nowMs: number,
): SeriesAnswer {
  const columnMs = Math.max(stepMs, Math.ceil((toMs - fromMs) / columns / stepMs) * stepMs)
  const begin = Math.floor(fromMs / columnMs) * columnMs
  const answer: SeriesAnswer = {
    fromMs,
    toMs,
    columnMs,
    atMs: [],
    channels: Object.fromEntries(ids.map((id) => [id, { low: [], high: [], last: [] }])),
  }
  for (let at = begin; at < toMs; at += columnMs) {
    answer.atMs.push(at)
    const looks: NonNullable<ReturnType<typeof valuesAt>>[] = []
    const stride = Math.max(stepMs, Math.floor(columnMs / 12 / stepMs) * stepMs)
    for (let look = at; look < at + columnMs && look <= nowMs; look += stride) {
      const values = look >= nightStart ? valuesAt(look) : null
      if (values) looks.push(values)
    }
    for (const id of ids) {
      const found = looks.map((values) => values[id]?.[value] ?? null).filter((number) => number !== null)
      const column = answer.channels[id]
      column?.low.push(found.length ? Math.min(...found) : null)
      column?.high.push(found.length ? Math.max(...found) : null)
      column?.last.push(found.at(-1) ?? null)
    }
  }
  return answer
}

/** Phases in columns; block means of the channels named, each at the stage under which it is named. */
export function marksOf(query: URLSearchParams, nowMs: number, logbook: readonly LogbookEntry[]): MarksAnswer {
  const fromMs = Number(query.get('from') ?? nightStart)
  const toMs = Number(query.get('to') ?? nowMs)
  const spans = spansBetween(fromMs, Math.min(toMs, nowMs))
  const average = query.get('average') as IsoDuration | null
  const rows = average === null ? [] : endedRows(average, fromMs, toMs, nowMs)
  const starts = [...new Set(rows.map(({ startMs }) => startMs))]
  const stages = { asRead: ['as_read'], corrected: ['drift_corrected', 'as_read'], referred: ['at_reference_oxygen'] }
  const wanted = Object.entries(stages).flatMap(([stage, quantities]) =>
    (query.get(stage) ?? '').split(',').flatMap((channel) => {
      const quantity = quantities.find((one) => rows.some((row) => row.channel === channel && row.quantity === one))
      const of = starts.map((start) =>
        rows.find((row) => row.startMs === start && row.channel === channel && row.quantity === quantity),
      )
      const found = of.find((row) => row !== undefined)
      return found
        ? [
            [
              channel,
              {
                quantity: found.quantity,
                mean: of.map((row) => row?.mean ?? null),
                valid: of.map((row) => (row?.valid ? 1 : 0)),
              },
            ] as const,
          ]
        : []
    }),
  )
  return {
    phases: {
      main: {
        startMs: spans.map(({ startMs }) => startMs),
        endMs: spans.map(({ endMs }) => endMs),
        phase: spans.map(({ phase }) => phase),
      },
    },
    steps: {
      startMs: starts,
      endMs: starts.map((start) => rows.find((row) => row.startMs === start)?.endMs ?? start),
      channels: Object.fromEntries(wanted),
    },
    flags: flagsAnswer(logbook, {
      fromMs,
      toMs: Math.min(toMs, Number(query.get('flagsTo') ?? fromMs)),
      columnMs: (toMs - fromMs) / Number(query.get('columns') ?? 180),
    }),
  }
}

export function blockRows(query: URLSearchParams, nowMs: number) {
  const wanted = query.get('average')
  const lengths = (wanted ? [wanted] : ['PT30M']) as IsoDuration[]
  const channel = query.get('channel')
  const only = channels.filter((found) => channel === null || found.id === channel)
  const fromMs = Number(query.get('from') ?? nightStart)
  const toMs = Number(query.get('to') ?? nowMs)
  // The invented night renews its rolling averages each half-hour: enough for a table.
  if (query.get('kind') === 'rolling') {
    const ends: number[] = []
    for (let end = Math.ceil(fromMs / (hour / 2)) * (hour / 2); end <= toMs; end += hour / 2) ends.push(end)
    return {
      rows: lengths.flatMap((length) =>
        ends.flatMap((end) => rowsOfBlock(length, end - (durationMs(length) ?? hour), end, only)),
      ),
    }
  }
  const rows = lengths
    .filter((length) => durationMs(length) !== null)
    .flatMap((length) => endedRows(length, fromMs, toMs, nowMs, only))
  return { rows: rows.filter((row) => query.get('quantity') === null || row.quantity === query.get('quantity')) }
}

export const recordingsAt = (nowMs: number): { recordings: RecordingSummary[] } => {
  const shared = { station: 'Boiler house 2, stack east', speed: 1, invented: true, detail: '' }
  return {
    recordings: [
      {
        ...shared,
        id: recordingId,
        name: 'Night 24 November',
        state: 'running',
        startMs: nightStart,
        endMs: null,
        lines: Math.floor((nowMs - nightStart) / stepMs),
        bytes: 4_812_800,
        seals: 540,
        head: '4be1…09',
      },
      {
        ...shared,
        id: 'standby-24-november',
        name: 'Before the run',
        state: 'standby',
        startMs: nightStart - hour,
        endMs: nightStart,
        lines: 3590,
        bytes: 512_000,
        seals: 60,
        head: '77aa…31',
      },
      {
        ...shared,
        id: 'night-23-november',
        name: 'Night 23 November',
        state: 'ended',
        startMs: nightStart - 24 * hour,
        endMs: nightStart - 13 * hour,
        lines: 39_540,
        bytes: 5_242_880,
        seals: 661,
        head: '91cc…4f',
        speed: 60,
        detail: 'recorded at a scaled clock',
      },
      {
        ...shared,
        id: 'afternoon-22-november',
        name: 'Afternoon 22 November',
        state: 'damaged',
        startMs: nightStart - 54 * hour,
        endMs: null,
        lines: 812,
        bytes: 98_304,
        seals: 13,
        head: null,
        detail: 'the file ends in the middle of a page',
      },
    ],
  }
}
