import { isFlagged, signOf, weightier } from '../../../protocols/live/flags.ts'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { Flag } from '../../../protocols/live/requests.ts'

/** Flags of entries that the page was told, from an instant on, in order. */
export const flagsFrom = (entries: readonly LogbookEntry[], fromMs: number): Flag[] =>
  entries
    .filter((entry) => entry.atMs >= fromMs && isFlagged(entry))
    .sort((one, other) => one.atMs - other.atMs)
    .map((entry) => ({ atMs: entry.atMs, endMs: entry.atMs, count: 1, sign: signOf(entry), kind: entry.kind }))

/** Flags in a window, of flags in order, gathered so that two never stand closer than `leastMs`: each can be hit by a finger. */
export function flagGroups(flags: readonly Flag[], fromMs: number, toMs: number, leastMs: number): Flag[] {
  const groups: Flag[] = []
  for (const flag of flags) {
    if (flag.endMs < fromMs || flag.atMs > toMs) continue
    const last = groups.at(-1)
    if (last && flag.atMs - last.atMs < leastMs) {
      last.endMs = flag.endMs
      last.count += flag.count
      last.sign = weightier(last.sign, flag.sign)
    } else groups.push({ ...flag })
  }
  return groups
}
