import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { engineVersion } from '../engine/state.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import type { Had, StationFace } from '../http/station-face.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { Trouble } from '../trouble.ts'
import { AmendmentDesk } from './amendments/amendment-desk.ts'
import { longWork } from './long-work.ts'
import { stationFromSettings } from './recorded-settings.ts'
import { ReplayFeed } from './replay-feed.ts'
import type { Station } from './station.ts'
import { StoredRuns } from './stored-runs.ts'

const contentTypes = {
  csv: 'text/csv; charset=utf-8',
  json: 'application/json',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
} as const

/** A wrong question is answered with what there is. */
async function had<T>(work: Promise<T>, status: 400 | 404): Promise<Had<T>> {
  try {
    return { ok: true, answer: await work }
  } catch (error) {
    if (error instanceof Trouble) return { ok: false, status, errors: error.message.split('\n') }
    throw error
  }
}

/** So many of the newest changes of averages are told. */
const mostChanges = 500

/** What a running station shows the web. */
export function stationFace(station: Station): StationFace {
  const stored = new StoredRuns(station.options.folder)
  const pathOf = (id: string): string | null => (id === 'current' ? station.run.writer.path : stored.pathOf(id))
  const isCurrent = (path: string): boolean => path === station.run.writer.path
  const from = async <T>(id: string, what: (path: string) => T | Promise<T>): Promise<T | null> => {
    const path = pathOf(id)
    if (path === null) return null
    if (isCurrent(path)) await station.run.writer.flush()
    return what(path)
  }
  const desk = new AmendmentDesk(station)
  return {
    live: () => station.live(),
    replay: (id) => from(id, (path) => ReplayFeed.open(id, path)),
    act: (request) => station.act(request),
    run: (request) => station.control(request),
    health: () => {
      const { run, options } = station
      const recording = run.recordingState()
      const reasons = run.staleStreams(options.clock.stationMs()).map((stream) => `stream ${stream} is silent`)
      if (recording.state === 'stopped') reasons.push(`nothing is stored: ${recording.detail}`)
      if (run.standby) reasons.push('no run is going on')
      return {
        ok: reasons.length === 0,
        reasons,
        version: engineVersion,
        run: run.writer.path.split('/').at(-1) ?? null,
        storedUpToMs: recording.storedUpToMs,
      }
    },
    metrics: () => {
      const { waiting, bytes } = station.run.writer.storedUpTo()
      return [
        { name: 'flueledger_inputs_waiting', help: 'inputs not stored yet', kind: 'gauge', value: waiting },
        { name: 'flueledger_recording_bytes', help: 'size of the present recording', kind: 'gauge', value: bytes },
        ...station.run.lineCounts().flatMap(({ stream, lines, refused }) => [
          {
            name: 'flueledger_lines',
            help: 'lines of a stream',
            kind: 'counter' as const,
            value: lines,
            labels: { stream },
          },
          {
            name: 'flueledger_lines_refused',
            help: 'lines that take no part',
            kind: 'counter' as const,
            value: refused,
            labels: { stream },
          },
        ]),
      ]
    },
    recordings: () => stored.list(station.run.writer.path),
    blocks: (id, query) => from(id, (path) => stored.blocks(path, query)),
    series: (id, query) =>
      from(id, (path) => stored.series(path, query, isCurrent(path) ? station.run.trace.newest() : [])),
    logbook: (id) => from(id, (path) => stored.logbook(path)),
    phases: (id, fromMs, toMs) => from(id, (path) => stored.phases(path, fromMs, toMs)),
    verify: (id) => from(id, (path) => longWork({ work: 'verify', path })),
    explain: (id, { from: first, most, ...asked }) =>
      from(id, (path) => had(longWork({ work: 'explain', path, asked, page: { from: first, most } }), 404)),
    compare: (id, request) => from(id, (path) => had(longWork({ work: 'compare', path, request }), 400)),
    amend: (id, request) => from(id, (path) => desk.amend(path, request)),
    amendments: (id) =>
      from(id, (path) => {
        const reader = openRecording(path)
        try {
          const { exclusions, checks } = amendmentsOf(reader.changes())
          const changes = reader.history()
          return {
            exclusions: [...exclusions],
            checks: checks.length,
            changesInAll: changes.length,
            changes: changes.slice(-mostChanges),
          }
        } finally {
          reader.close()
        }
      }),
    settings: (id) =>
      from(id, (path) => {
        const reader = openRecording(path)
        try {
          return stationFromSettings(reader.header.settings)
        } finally {
          reader.close()
        }
      }),
    exportFile: (id, format, decimal) =>
      from(id, async (path) => {
        const folder = mkdtempSync(join(tmpdir(), 'flueledger-export-'))
        const release = (): void => rmSync(folder, { recursive: true, force: true })
        try {
          const files = await longWork({ work: 'export', path, target: { folder, formats: [format], decimal } })
          const name = files[0] ?? ''
          return { name, path: join(folder, name), contentType: contentTypes[format], release }
        } catch (error) {
          release()
          throw error
        }
      }),
  }
}
