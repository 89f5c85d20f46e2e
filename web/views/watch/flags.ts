import type { LogbookEntry } from '../../../protocols/live/messages.ts'

export interface FlagGroup {
  readonly entries: readonly LogbookEntry[]
  /** Middle of the group, ms. */
  readonly atMs: number
  readonly sign: 'note' | 'alarm' | 'caution' | 'event'
}

/** What is worth a flag: notes, what a person did, alarms that were raised, what was abnormal or notable. Zeros and the like stay in the logbook. */
export const isFlagged = ({ kind, severity, by }: LogbookEntry): boolean =>
  kind === 'note' ||
  (by !== null && kind !== 'alarm') ||
  severity === 'abnormal' ||
  (kind !== 'alarm' && severity === 'notable')

const signOf = (entries: readonly LogbookEntry[]): FlagGroup['sign'] =>
  entries.some(({ kind, severity }) => kind === 'alarm' && severity === 'abnormal')
    ? 'alarm'
    : entries.some(({ severity }) => severity === 'abnormal')
      ? 'caution'
      : entries.some(({ kind }) => kind === 'note')
        ? 'note'
        : 'event'

/** Flags in a window, of entries oldest first, gathered so that two never stand closer than `leastMs`: each can be hit by a finger. */
export function flagGroups(
  entries: readonly LogbookEntry[],
  fromMs: number,
  toMs: number,
  leastMs: number,
): FlagGroup[] {
  const groups: LogbookEntry[][] = []
  for (const entry of entries) {
    if (entry.atMs < fromMs || entry.atMs > toMs) continue
    const last = groups.at(-1)
    if (last && entry.atMs - (last[0]?.atMs ?? 0) < leastMs) last.push(entry)
    else groups.push([entry])
  }
  return groups.map((group) => ({ entries: group, atMs: group[0]?.atMs ?? 0, sign: signOf(group) }))
}
