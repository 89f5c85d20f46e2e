import type { ClientMessage } from '../../protocols/live/messages.ts'
import type { ActionRequest, RunRequest } from '../../protocols/live/requests.ts'
import type { Feed, StationFace, Unnumbered } from '../../server/http/station-face.ts'
import { blockRows, marksOf, recordingsAt, seriesOf } from './fixture-live/answers.ts'
import { logbookUpTo } from './fixture-live/happenings.ts'
import { logbookAnswer } from './fixture-live/logbook-answers.ts'
import { channels, nightStart } from './fixture-live/scenario.ts'
import { readingAt, recordingId, snapshotAt, spansBetween } from './fixture-live/snapshot.ts'

export const knownRecording = recordingId
/** An instant of the invented night at which it measures. */
export const shownMs = nightStart + 5 * 3_600_000

/** One line's reading, as an increment. */
export function aReading(lines: number): Unnumbered {
  const reading = readingAt(shownMs)
  if (reading === null) throw new Error('the invented night does not measure at the instant shown')
  return { type: 'reading', reading, lines }
}

/** A logbook entry of about so many bytes: what fills a line up quickly. */
export const aLongEntry = (id: number, bytes: number): Unnumbered => ({
  type: 'logbook',
  entry: {
    id: String(id),
    atMs: shownMs,
    kind: 'note',
    stream: null,
    text: 'x'.repeat(bytes),
    by: null,
    savedMs: null,
    severity: 'plain',
  },
})

/** A feed turned by hand: `tell` is the station's side. */
export class HandFeed implements Feed {
  readonly controls: ClientMessage[] = []
  isClosed = false
  private readonly listeners = new Set<(increment: Unnumbered) => void>()
  private readonly renewals = new Set<() => void>()
  private readonly mode: 'live' | 'replay'

  constructor(mode: 'live' | 'replay') {
    this.mode = mode
  }
  snapshot() {
    const playback =
      this.mode === 'live'
        ? null
        : {
            recording: recordingId,
            atMs: shownMs,
            startMs: nightStart,
            endMs: shownMs,
            playing: true,
            speed: 60,
            recordedSpeed: 1,
          }
    const manual = { alarms: [], logbook: logbookUpTo(shownMs), runState: 'running' as const, silentSinceMs: null }
    const { sequence: _sequence, ...snapshot } = snapshotAt(shownMs, 0, manual, { mode: this.mode, playback, speed: 1 })
    return snapshot
  }
  follow(listener: (increment: Unnumbered) => void) {
    this.listeners.add(listener)
    return () => this.listeners.delete(listener)
  }
  onRenewed(listener: () => void) {
    this.renewals.add(listener)
    return () => this.renewals.delete(listener)
  }
  control(message: ClientMessage) {
    this.controls.push(message)
  }
  close() {
    this.isClosed = true
  }
  get followers() {
    return this.listeners.size + this.renewals.size
  }
  tell(increment: Unnumbered) {
    for (const listener of this.listeners) listener(increment)
  }
  renew() {
    for (const listener of this.renewals) listener()
  }
}

/** A station's face over the invented night. `given` replaces parts of it; `asked` is what it was told to do. */
export function aFace(given: Partial<StationFace> = {}) {
  const asked: (ActionRequest | RunRequest)[] = []
  const feeds: HandFeed[] = []
  const feed = (mode: 'live' | 'replay') => {
    const made = new HandFeed(mode)
    feeds.push(made)
    return made
  }
  const known = <T>(id: string, value: () => T): Promise<T | null> =>
    Promise.resolve(id === recordingId || id === 'current' ? value() : null)
  const face: StationFace = {
    live: () => feed('live'),
    replay: (id) => known(id, () => feed('replay')),
    act(request) {
      asked.push(request)
      return Promise.resolve({ ok: true })
    },
    run(request) {
      asked.push(request)
      return Promise.resolve({ ok: true })
    },
    health: () => ({ ok: true, reasons: [], version: '0.1.0', run: recordingId, storedUpToMs: shownMs }),
    metrics: () => [
      { name: 'flueledger_lines', help: 'Lines taken.', kind: 'counter', value: 3, labels: { stream: 'main' } },
    ],
    recordings: () => recordingsAt(shownMs).recordings,
    channels: (id) => known(id, () => channels),
    blocks: (id, { average = 'PT30M' }) => known(id, () => blockRows(new URLSearchParams({ average }), shownMs).rows),
    series: (id, { channels, value, fromMs, toMs, columns }) =>
      known(id, () => seriesOf([...channels], value, fromMs, toMs, columns, shownMs)),
    marks: (id, { fromMs, toMs, average, channels: named, flagsToMs, columns }) =>
      known(id, () => {
        const query = new URLSearchParams({ from: String(fromMs), to: String(toMs), ...(average ? { average } : {}) })
        for (const [stage, ids] of Object.entries(named)) query.set(stage, ids.join())
        query.set('flagsTo', String(flagsToMs))
        query.set('columns', String(columns))
        return marksOf(query, shownMs, logbookUpTo(shownMs))
      }),
    logbook: (id, query) => known(id, () => logbookAnswer(logbookUpTo(shownMs), query)),
    phases: (id, fromMs, toMs) => known(id, () => spansBetween(fromMs, Math.min(toMs, shownMs))),
    verify: (id) =>
      known(id, () => ({
        ok: true,
        engine: '0.1.0',
        seals: { ok: true, count: 5, head: null, faults: [] },
        order: { ok: true, faults: [] },
        recomputation: { ok: true, blocks: 18, faults: [], notes: [] },
      })),
    recordingFile: () => Promise.resolve(null),
    takeInRecording: () => Promise.resolve({ ok: true }),
    removeRecording: () => Promise.resolve({ ok: true }),
    explain: () => Promise.resolve(null),
    compare: () => Promise.resolve(null),
    amend: () => Promise.resolve(null),
    amendments: (id) => known(id, () => ({ exclusions: [], checks: [], changesInAll: 0, changes: [] })),
    test: () => Promise.resolve({ ok: false, status: 409, errors: ['run-2: its run has not ended'] }),
    settings: () => Promise.resolve(null),
    exportFile: () => Promise.resolve(null),
    ...given,
  }
  return { face, asked, feeds }
}
