import { type FlagSign, isFlagged, signOf, weightier } from '../../protocols/live/flags.ts'
import type { LogbookEntry } from '../../protocols/live/messages.ts'
import type { Flag } from '../../protocols/live/requests.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'
import type { ColumnsOfTime } from '../recording/time-filter.ts'
import { alarmSeverity, eventEntry, linkSeverity, noticeSeverity } from './logbook.ts'

/** Entries of the logbook that look alike over a chart: from the first to the last of them. */
export interface FlagMark extends Pick<LogbookEntry, 'kind' | 'severity' | 'by'> {
  readonly atMs: number
  readonly endMs: number
  readonly count: number
}

/** The flags of the logbook in [fromMs, toMs), folded, without an entry being built of each: a month has tens of thousands. */
export function flagsOf(reader: RecordingReader, columns: ColumnsOfTime): Flag[] {
  const isWithin = ({ atMs }: { atMs: number }): boolean => atMs >= columns.fromMs && atMs < columns.toMs
  const marks = reader.asOfOneMoment((): FlagMark[] => {
    const { alarms, notices, links } = reader.logbookColumns(columns)
    return [
      ...alarms.map(({ kind, ...at }) => ({ ...at, ...asItself('alarm', alarmSeverity(kind)) })),
      ...notices.map(({ kind, ...at }) => ({ ...at, ...asItself('event', noticeSeverity(kind)) })),
      ...links.map(({ kind, ...at }) => ({ ...at, ...asItself('link', linkSeverity(kind)) })),
      ...[...reader.operatorChanges(), ...reader.runAndClockChanges()]
        .map(eventEntry)
        .filter((entry) => entry !== null)
        .filter(isWithin)
        .map((entry) => ({ ...entry, endMs: entry.atMs, count: 1 })),
    ]
  })
  return foldedFlags(marks, columns)
}
const asItself = (kind: FlagMark['kind'], severity: FlagMark['severity']) => ({ kind, severity, by: null })

/**
 * One flag for each column of time in which something deserves one: from the first entry to the last, how many there are, and
 * the sign of the one that matters most. None is left out of the count, and none takes a sign that matters more from another.
 */
export function foldedFlags(
  marks: Iterable<FlagMark>,
  { fromMs, columnMs }: Pick<ColumnsOfTime, 'fromMs' | 'columnMs'>,
): Flag[] {
  const flags = new Map<number, Flag>()
  for (const mark of marks) {
    if (!isFlagged(mark)) continue
    const column = Math.floor((mark.atMs - fromMs) / columnMs)
    const one = { atMs: mark.atMs, endMs: mark.endMs, count: mark.count, sign: signOf(mark), kind: mark.kind }
    const other = flags.get(column)
    flags.set(column, other ? together(one, other) : one)
  }
  return [...flags.values()].sort((one, other) => one.atMs - other.atMs)
}

function together(one: Flag, other: Flag): Flag {
  const first = one.atMs < other.atMs ? one : other
  const sign: FlagSign = weightier(one.sign, other.sign)
  return { ...first, endMs: Math.max(one.endMs, other.endMs), count: one.count + other.count, sign }
}
