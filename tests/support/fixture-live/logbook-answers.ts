import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { entryGroups, type Flag } from '../../../protocols/live/requests.ts'
import type { LogbookQuery } from '../../../server/http/station-face.ts'
import { foldedFlags } from '../../../server/station/flags.ts'
import { isWithin, type LogbookPage, pageOf } from '../../../server/station/logbook-page.ts'

export function logbookAnswer(entries: readonly LogbookEntry[], query: LogbookQuery): LogbookPage {
  const asked = entries.filter((entry) => isWithin(entry, query))
  return pageOf(asked, asked.length, query)
}
/** `columnMs`: of the chart. */
export function flagsAnswer(
  entries: readonly LogbookEntry[],
  { fromMs, toMs, columnMs }: { fromMs: number; toMs: number; columnMs: number },
): Flag[] {
  const within = entries.filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
  return foldedFlags(
    within.map((entry) => ({ ...entry, endMs: entry.atMs, count: 1 })),
    { fromMs, columnMs },
  )
}
export function logbookQuery(query: URLSearchParams): LogbookQuery {
  const number = (name: string): number | undefined => (query.has(name) ? Number(query.get(name)) : undefined)
  return {
    fromMs: number('from'),
    toMs: number('to'),
    group: entryGroups.find((group) => group === query.get('group')) ?? 'all',
    flagged: query.has('flagged'),
    most: number('most') ?? Number.MAX_SAFE_INTEGER,
  }
}
