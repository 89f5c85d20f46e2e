import { isFlagged } from '../../protocols/live/flags.ts'
import type { LogbookEntry } from '../../protocols/live/messages.ts'
import type { LogbookQuery } from '../http/station-face.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'
import { eventEntry, outputEntry } from './logbook.ts'

export interface LogbookPage {
  /** In order of their times. */
  readonly entries: LogbookEntry[]
  /** How many more there are of what was asked for. */
  readonly left: number
}

/**
 * The newest entries of a time, all of an instant or none, so that the next page ends where this one begins; of those with
 * a flag the ones that matter most. Only what a page needs is read.
 */
export function logbookPage(reader: RecordingReader, query: LogbookQuery): LogbookPage {
  const { entries, count } = reader.asOfOneMoment(() => found(reader, query))
  return pageOf(entries, count, query)
}

/** `entries`: the newest that there are, at least; `count`: how many there are. */
export function pageOf(
  entries: readonly LogbookEntry[],
  count: number,
  { flagged, most }: Pick<LogbookQuery, 'flagged' | 'most'>,
): LogbookPage {
  const ordered = entries.toSorted((a, b) => a.atMs - b.atMs)
  if (flagged) return weightiest(ordered.filter(isFlagged), most)
  const oldestMs = ordered.at(-most)?.atMs ?? Number.NEGATIVE_INFINITY
  const page = ordered.filter(({ atMs }) => atMs >= oldestMs)
  return { entries: page, left: count - page.length }
}

export const isWithin = ({ atMs, kind }: LogbookEntry, { fromMs, toMs, group }: LogbookQuery): boolean =>
  (fromMs === undefined || atMs >= fromMs) &&
  (toMs === undefined || atMs < toMs) &&
  (group === 'all' || (group === 'event' ? kind !== 'note' && kind !== 'alarm' : kind === group))

function found(reader: RecordingReader, query: LogbookQuery) {
  const { fromMs, toMs, group, flagged, most } = query
  const filter = {
    ...(fromMs === undefined ? {} : { fromMs }),
    ...(toMs === undefined ? {} : { toMs }),
    ...(flagged ? {} : { most }),
  }
  const told = reader
    .operatorChanges()
    .map(eventEntry)
    .filter((entry) => entry !== null)
    .filter((entry) => isWithin(entry, query))
  const entries: (LogbookEntry | null)[] = [...told]
  const counts = reader.logbookCounts(filter)
  let count = told.length
  if (group === 'all' || group === 'alarm') {
    entries.push(...reader.alarms(filter).map((transition) => outputEntry({ kind: 'alarm', transition })))
    count += counts.alarms
  }
  if (group === 'all' || group === 'event') {
    entries.push(
      ...reader.otherChanges(filter).map(eventEntry),
      ...reader.notices(filter).map((notice) => outputEntry({ kind: 'notice', ...notice })),
      ...reader.zeros(filter).map((zero) => outputEntry({ kind: 'zero', ...zero })),
    )
    count += counts.changes + counts.notices + counts.zeros
  }
  return { entries: entries.filter((entry) => entry !== null), count }
}

/** What a person looks for first in a crowd: how the run went and what people said, then alarms that were raised and faults. */
function weight({ kind, severity, by, happened }: LogbookEntry): number {
  if (kind === 'run' || kind === 'note' || by !== null) return 3
  if (severity !== 'abnormal') return 0
  return kind === 'alarm' || happened?.what === 'fault' ? 2 : 1
}

/** In order of their times; among equals the newest stay. */
function weightiest(entries: readonly LogbookEntry[], most: number): LogbookPage {
  const kept = new Set(
    entries
      .toReversed()
      .sort((a, b) => weight(b) - weight(a))
      .slice(0, most),
  )
  return { entries: entries.filter((entry) => kept.has(entry)), left: entries.length - kept.size }
}
