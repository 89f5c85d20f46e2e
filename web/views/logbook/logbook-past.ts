import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { askLogbook } from '../../answers.ts'
import type { Session } from '../../session.ts'
import type { Station } from '../../store.ts'

/** By the id of the note that they correct, oldest first. */
export function correctionsOf(newestFirst: readonly LogbookEntry[]): ReadonlyMap<string, readonly LogbookEntry[]> {
  const found = new Map<string, LogbookEntry[]>()
  for (const entry of newestFirst)
    if (entry.corrects !== undefined) found.set(entry.corrects, [entry, ...(found.get(entry.corrects) ?? [])])
  return found
}

/** The whole logbook: what the page was told live, and what is older, asked of the station once. */
export class LogbookPast {
  error = ''
  private older: readonly LogbookEntry[] = []
  private askedFor: string | null = null
  constructor(private readonly changed: () => void) {}

  /** Asks where the recording is another one, or a snapshot may have skipped entries. */
  ask({ route: { replay }, state: { station, trendBreaks } }: Session): void {
    const key = `${replay}/${station?.run.recording}/${replay === null ? trendBreaks : 0}`
    if (key === this.askedFor) return
    this.askedFor = key
    void this.take(replay, key)
  }
  private async take(recording: string | null, key: string): Promise<void> {
    const answer = await askLogbook(recording)
    if (key !== this.askedFor) return
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.older = answer.value.entries
    this.changed()
  }

  /** Newest first; nothing from beyond now, as a playback may hold. */
  entries({ logbook }: Station, nowMs: number): LogbookEntry[] {
    const byId = new Map([...this.older, ...logbook].map((entry) => [entry.id, entry]))
    return [...byId.values()]
      .filter((entry) => entry.atMs <= nowMs + 60_000)
      .sort((one, other) => other.atMs - one.atMs)
  }
}
