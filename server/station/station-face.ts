import { engineVersion } from '../engine/engine-version.ts'
import type { StationFace } from '../http/station-face.ts'
import { AmendmentDesk } from './amendments/amendment-desk.ts'
import { copyToSend, removeRecording, takeIn } from './kept-files.ts'
import { ReplayFeed } from './replay-feed.ts'
import type { Station } from './station.ts'
import { type FromRecording, storedAnswers } from './stored-answers.ts'
import { StoredRuns } from './stored-runs.ts'

/** What a running station shows the web. */
export function stationFace(station: Station): StationFace {
  const stored = new StoredRuns(station.options.folder)
  const pathOf = (id: string): string | null => (id === 'current' ? station.run.writer.path : stored.pathOf(id))
  const isCurrent = (path: string): boolean => path === station.run.writer.path
  const afterwards =
    (wait: (run: Station['run']) => Promise<void>): FromRecording =>
    async (id, what) => {
      const path = pathOf(id)
      if (path === null) return null
      if (isCurrent(path)) await wait(station.run)
      return what(path)
    }
  const from = afterwards((run) => run.readable())
  const asAmended = afterwards((run) => run.readableAsAmended())
  const desk = new AmendmentDesk(station)
  return {
    ...storedAnswers(stored, from, asAmended),
    live: () => station.live(),
    replay: (id, gone) => from(id, (path) => ReplayFeed.open(id, path, gone)),
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
    series: (id, query) =>
      from(id, (path) => stored.series(path, query, isCurrent(path) ? station.run.trace.newest() : [])),
    amend: (id, request) => from(id, (path) => desk.amend(path, request)),
    recordingFile: (id) => from(id, (path) => copyToSend(path, id === 'current' ? stored.idOf(path) : id)),
    takeInRecording: (id, bytes, size) => takeIn(station.options.folder, id, bytes, size),
    removeRecording: async (id, by) => {
      const path = stored.pathOf(id)
      if (path === null) return { ok: false, status: 404, errors: [`there is no recording ${id}`] }
      if (isCurrent(path))
        return { ok: false, status: 409, errors: [`${id} is being written; end its run first, then remove it`] }
      removeRecording(path)
      station.options.log(`${by} removed the recording ${id}`)
      return { ok: true }
    },
  }
}
