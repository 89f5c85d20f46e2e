import { toldAmendments } from '../engine/told-amendments.ts'
import { unknownRecording } from '../http/refusal.ts'
import type { Had, StationFace } from '../http/station-face.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { Trouble } from '../trouble.ts'
import { nameOfChannel } from './channel-infos.ts'
import { exportedFile } from './exported-file.ts'
import { logbookPage } from './logbook-page.ts'
import { longWork } from './long-work.ts'
import { stationFromSettings } from './recorded-settings.ts'
import type { StoredRuns } from './stored-runs.ts'
import type { RunAsked } from './tested-run.ts'

/** Runs `what` on the recording of that id; null where there is none. */
export type FromRecording = <T>(id: string, what: (path: string) => T | Promise<T>) => Promise<T | null>

/** So many of the newest changes of averages are told. */
const mostChanges = 500

/** A wrong question is answered with what there is. */
async function had<T>(work: Promise<T>, status: 400 | 404 | 409): Promise<Had<T>> {
  try {
    return { ok: true, answer: await work }
  } catch (error) {
    if (error instanceof Trouble) return { ok: false, status, errors: error.message.split('\n') }
    throw error
  }
}

function read<T>(path: string, what: (reader: RecordingReader) => T): T {
  const reader = openRecording(path)
  try {
    return what(reader)
  } finally {
    reader.close()
  }
}

/**
 * What is asked of recordings as they are stored, whether a station runs or not. `asAmended`: after the averages that an
 * amendment changes, for what holds averages against the lines or goes out of the house.
 */
export const storedAnswers = (stored: StoredRuns, from: FromRecording, asAmended = from) =>
  ({
    channels: (id) => from(id, (path) => stored.channels(path)),
    blocks: (id, query) => from(id, (path) => stored.blocks(path, query)),
    logbook: (id, query) => from(id, (path) => read(path, (reader) => logbookPage(reader, query))),
    phases: (id, fromMs, toMs) => from(id, (path) => stored.phases(path, fromMs, toMs)),
    marks: (id, query) => from(id, (path) => stored.marks(path, query)),
    verify: (id) => asAmended(id, (path) => longWork({ work: 'verify', path })),
    explain: (id, { from: first, most, ...asked }) =>
      asAmended(id, (path) => had(longWork({ work: 'explain', path, asked, page: { from: first, most } }), 404)),
    compare: (id, request) => from(id, (path) => had(longWork({ work: 'compare', path, request }), 400)),
    amendments: (id) =>
      from(id, (path) =>
        read(path, (reader) => {
          const { exclusions, checks } = toldAmendments(reader.changes())
          return {
            exclusions: [...exclusions],
            checks: [...checks],
            changesInAll: reader.historyInAll(),
            changes: reader.newestHistory(mostChanges),
          }
        }),
      ),
    test: async (ids) => {
      const runs: RunAsked[] = []
      for (const id of ids) {
        const path = await asAmended(id, (found) => found)
        if (path === null) return { ok: false, ...unknownRecording(id) }
        runs.push({ name: id, path })
      }
      return had(longWork({ work: 'test', runs }), 409)
    },
    settings: (id) =>
      from(id, (path) =>
        read(path, (reader) => {
          const settings = stationFromSettings(reader.header.settings)
          return { settings, names: Object.fromEntries(settings.channels.map((one) => [one.id, nameOfChannel(one)])) }
        }),
      ),
    exportFile: (id, format, decimal) => asAmended(id, (path) => exportedFile(path, format, decimal)),
  }) satisfies Partial<StationFace>
