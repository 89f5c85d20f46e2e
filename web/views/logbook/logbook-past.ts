import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { askLogbook } from '../../answers.ts'
import type { Session } from '../../session.ts'
import type { Station } from '../../store.ts'
import { isFlagged } from '../watch/flags.ts'

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
  private merged: {
    readonly older: readonly LogbookEntry[]
    readonly newer: readonly LogbookEntry[]
    readonly all: readonly LogbookEntry[]
    readonly flagged: readonly LogbookEntry[]
  } = { older: this.older, newer: [], all: [], flagged: [] }
  constructor(private readonly changed: () => void) {}

  /** What was asked for is out of date: asks again at the next draw. */
  forget(): void {
    this.askedFor = null
  }

  /** Asks where the recording is another one, this page amended it, or a snapshot may have skipped entries. */
  ask({ route: { replay }, state: { station, trendBreaks }, amendedTimes }: Session): void {
    // Without a recording there is nothing to ask for.
    if (replay === null && !station?.run.recording) return
    const key = `${replay}/${station?.run.recording}/${amendedTimes}/${replay === null ? trendBreaks : 0}`
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
    return this.inOrder(logbook).all.filter((entry) => entry.atMs <= nowMs + 60_000)
  }
  /** What is worth a flag, oldest first. */
  flagged({ logbook }: Station): readonly LogbookEntry[] {
    return this.inOrder(logbook).flagged
  }

  /** Put in order only where something came: this is asked at every draw, and a month has tens of thousands. */
  private inOrder(logbook: readonly LogbookEntry[]) {
    if (this.merged.older !== this.older || this.merged.newer !== logbook) {
      const byId = new Map([...this.older, ...logbook].map((entry) => [entry.id, entry]))
      const all = [...byId.values()].sort((one, other) => other.atMs - one.atMs)
      this.merged = { older: this.older, newer: logbook, all, flagged: all.filter(isFlagged).reverse() }
    }
    return this.merged
  }
}
