import type { SnapshotMessage } from '../../protocols/live/messages.ts'
import { liveProtocolVersion } from '../../protocols/live/messages.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { Feed, Outcome, StationFace, Unnumbered } from '../http/station-face.ts'
import { copyToSend, removeRecording, takeIn } from './kept-files.ts'
import { ReplayFeed } from './replay-feed.ts'
import { storedAnswers } from './stored-answers.ts'
import { StoredRuns } from './stored-runs.ts'

const nothingYet = 'no instrument is set up yet'
const refused: Outcome = { ok: false, status: 409, errors: [`${nothingYet}: open Set-up`] }
const toldEveryMs = 1000

const run: SnapshotMessage['run'] = {
  recording: null,
  name: 'run',
  state: 'waiting',
  startMs: null,
  plannedMs: null,
  endMs: null,
  elapsedMs: 0,
  countedMs: 0,
  endRule: null,
  number: 1,
  of: 1,
}
const recording: SnapshotMessage['recording'] = {
  state: 'stopped',
  storedUpToMs: null,
  waiting: 0,
  bytes: 0,
  detail: nothingYet,
  hoursLeft: null,
}
const clock = (): SnapshotMessage['clock'] => ({
  stationMs: Date.now(),
  speed: 1,
  zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  standardTime: false,
  offsetMinutes: -new Date().getTimezoneOffset(),
})

const snapshot = (): Omit<SnapshotMessage, 'sequence'> => ({
  type: 'snapshot',
  protocol: liveProtocolVersion,
  version: engineVersion,
  mode: 'live',
  invented: false,
  station: 'Flueledger',
  clock: clock(),
  playback: null,
  run,
  recording,
  streams: [],
  plant: { state: 'unknown', sinceMs: Date.now() },
  channels: [],
  limits: [],
  averages: { blocks: [], rolling: [], long: [], validity: '', align: 'clock' },
  results: {
    label: 'both',
    ties: 'half-even',
    decimals: null,
    significantFigures: null,
    comparison: 'absolute',
    uncertainty: null,
  },
  readings: [],
  openBlocks: [],
  rolling: [],
  recentBlocks: [],
  outlooks: [],
  alarms: [],
  logbook: [],
  phaseSpans: [],
  warnings: [],
})

/** The picture of a station without an instrument: it says that it waits, and that its clock goes. */
const waitingFeed = (): Feed => ({
  snapshot,
  follow(listener: (increment: Unnumbered) => void) {
    const timer = setInterval(
      () => listener({ type: 'running', openBlocks: [], outlooks: [], run, recording, clock: clock() }),
      toldEveryMs,
    )
    timer.unref()
    return () => clearInterval(timer)
  },
  onRenewed: () => () => {},
  control: () => {},
  close: () => {},
})

/** What the web sees before an instrument is set up: what was recorded earlier, and nothing that runs. */
export function waitingFace(folder: string): StationFace {
  const stored = new StoredRuns(folder)
  const from = async <T>(id: string, what: (path: string) => T | Promise<T>): Promise<T | null> => {
    const path = stored.pathOf(id)
    return path === null ? null : what(path)
  }
  return {
    ...storedAnswers(stored, from),
    live: waitingFeed,
    replay: (id, gone) => from(id, (path) => ReplayFeed.open(id, path, gone)),
    act: () => Promise.resolve(refused),
    run: async () => refused,
    health: () => ({ ok: false, reasons: [nothingYet], version: engineVersion, run: null, storedUpToMs: null }),
    metrics: () => [],
    recordings: () => stored.list(null),
    recordingFile: (id) => from(id, (path) => copyToSend(path, id)),
    takeInRecording: (id, bytes, size) => takeIn(folder, id, bytes, size),
    removeRecording: async (id) => {
      const path = stored.pathOf(id)
      if (path === null) return { ok: false, status: 404, errors: [`there is no recording ${id}`] }
      removeRecording(path)
      return { ok: true }
    },
    series: (id, query) => from(id, (path) => stored.series(path, query, [])),
    amend: (id) =>
      from(id, () => ({
        ok: false,
        status: 409,
        errors: ['no instrument is set up: amend a recording once a station runs'],
      })),
  }
}
