import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { type EntryGroup, logbookMost } from '../../../protocols/live/requests.ts'
import { askLogbook } from '../../answers.ts'
import type { Session } from '../../session.ts'
import { logbookFromMs, type Station } from '../../store.ts'

const firstPage = 200
/** A search goes through many of them. */
const laterPages = 1000

/** By the id of the note that they correct, oldest first. */
export function correctionsOf(newestFirst: readonly LogbookEntry[]): ReadonlyMap<string, readonly LogbookEntry[]> {
  const found = new Map<string, LogbookEntry[]>()
  for (const entry of newestFirst)
    if (entry.corrects !== undefined) found.set(entry.corrects, [entry, ...(found.get(entry.corrects) ?? [])])
  return found
}

/** One part of the logbook: what the page was told live, and what is older, asked of the station page by page. */
export class LogbookPast {
  error = ''
  /** How many older ones the station holds that were not asked for. */
  left = 0
  private older: readonly LogbookEntry[] = []
  private askedFor = ''
  private isAsking = false
  private group: EntryGroup = 'all'
  private merged = { older: this.older, newer: this.older, all: this.older }
  constructor(private readonly changed: () => void) {}

  /** Asks where the recording or the part is another one, this page amended it, or the page was told of a later time only. */
  ask(session: Session, group: EntryGroup): void {
    const { route, state, amendedTimes } = session
    const { station } = state
    // Without a recording there is nothing to ask for.
    if (!station || (route.replay === null && !station.run.recording)) return
    const toldMs = logbookFromMs(station)
    const key = `${route.replay}/${station.run.recording}/${amendedTimes}/${group}/${toldMs}`
    if (key === this.askedFor) return
    this.askedFor = key
    this.group = group
    void this.take(session, toldMs, Math.min(logbookMost, Math.max(firstPage, this.older.length)), true)
  }

  /** The next older ones. */
  more(session: Session): void {
    const [oldest] = this.older
    if (oldest && this.left > 0 && !this.isAsking && !this.error)
      void this.take(session, oldest.atMs, laterPages, false)
  }

  private async take({ route }: Session, to: number, most: number, isAnew: boolean): Promise<void> {
    const key = this.askedFor
    this.isAsking = true
    const answer = await askLogbook(route.replay, { group: this.group, most, ...(Number.isFinite(to) ? { to } : {}) })
    if (key !== this.askedFor) return
    this.isAsking = false
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) {
      this.older = isAnew ? answer.value.entries : [...answer.value.entries, ...this.older]
      this.left = answer.value.left
    }
    this.changed()
  }

  /** Newest first; nothing from beyond now, as a playback may hold. */
  entries({ logbook }: Station, nowMs: number): LogbookEntry[] {
    // Put in order only where something came: this is asked at every draw.
    if (this.merged.older !== this.older || this.merged.newer !== logbook) {
      const byId = new Map([...this.older, ...logbook].map((entry) => [entry.id, entry]))
      const all = [...byId.values()].sort((one, other) => other.atMs - one.atMs)
      this.merged = { older: this.older, newer: logbook, all }
    }
    return this.merged.all.filter((entry) => entry.atMs <= nowMs + 60_000)
  }
}
