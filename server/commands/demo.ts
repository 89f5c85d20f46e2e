import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readScenario } from '../../simulator/scenario.ts'
import { stationFor } from '../../simulator/station-for.ts'
import { stationClock } from '../clock.ts'
import { engineVersion } from '../engine/engine-version.ts'
import { startHttp } from '../http/start-http.ts'
import { type LeftRun, runToGoOnWith } from '../station/left-run.ts'
import { stationOf } from '../station/load-station-file.ts'
import { readSettingsText } from '../station/settings-text.ts'
import { type SimulatorProcess, startSimulator } from '../station/simulator-process.ts'
import { Station } from '../station/station.ts'
import { stationFace } from '../station/station-face.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
import { print, say } from './printing.ts'
import { webFolder } from './serve.ts'

/** The night that a visitor finds already under way: so many hours, recorded this many times as fast as real time. */
const hoursBefore = 7
const speed = 1800
/** The night begins with a block, so that its first average is whole. */
const halfHourMs = 1_800_000

/** `flueledger demo`: the simulator as a process of its own and a station that reads it, by the same path as any instrument. */
export async function demo({
  host,
  port,
  data,
}: {
  readonly host: string
  readonly port?: number
  readonly data?: string
}): Promise<number> {
  const halt = haltSignal()
  const folder = data ?? mkdtempSync(join(tmpdir(), 'flueledger-demo-'))
  const left = runToGoOnWith(folder, Date.now(), () => {}) // Where there is none, the station says why.
  const startMs = Math.floor(Date.now() / halfHourMs) * halfHourMs - hoursBefore * 3_600_000
  const night = ['--start', new Date(startMs).toISOString(), '--speed', String(speed), '--catch-up-to-now']
  // A run that was left going goes on at real speed from now on; the time between is a gap.
  const flags = left ? [...night, '--skip-to', 'now', '--while-unlinked', 'go-on'] : night
  const simulator = await startSimulator(
    { scenario: 'calm-night', seed: Math.floor(startMs / 1000) % 100_000, flags },
    say,
  )
  try {
    await watched(simulator.link, { host, port, folder, left, startMs }, halt)
  } finally {
    await simulator.stop()
  }
  return exitStatus.done
}

interface Night {
  readonly host: string
  readonly port: number | undefined
  readonly folder: string
  readonly left: LeftRun | null
  readonly startMs: number
}

/** The station that reads the simulator, with its dashboard, until it is told to halt. */
async function watched(
  link: SimulatorProcess['link'],
  { host, port, folder, left, startMs }: Night,
  halt: AbortSignal,
): Promise<void> {
  const loaded = stationOf(
    readSettingsText('demo', JSON.stringify(stationFor(readScenario('calm-night'), link, left ? {} : { speed }))),
    process.cwd(),
  )
  if (!loaded.ok)
    throw new Trouble(loaded.faults.map(({ path, message }) => `${path}: ${message}`).join('\n'), exitStatus.defect)
  const clock = left
    ? stationClock({ notBeforeMs: left.extent.lastMs ?? Number.NEGATIVE_INFINITY })
    : stationClock({ startMs })
  const station = new Station({ station: loaded.station, folder, clock, invented: true, log: say, halt })
  await station.start()
  if (halt.aborted) return station.stop()
  if (!left) {
    clock.catchUp(speed, () => station.speedChanged(1))
    station.speedChanged(speed)
  }
  const http = await startHttp({
    face: stationFace(station),
    host,
    port,
    webFolder: webFolder(),
    version: engineVersion,
    log: say,
  }).catch(async (error: unknown) => {
    await station.stop()
    throw error
  })
  if (http.usualPortTaken) say('the usual port is taken; this is another one')
  print(`dashboard: http://${http.address.host}:${http.address.port}/`)
  say(
    left
      ? `an invented night goes on. Recordings: ${folder}`
      : `an invented night: its first ${hoursBefore} hours are recorded at ${speed} times real speed, then it goes on live. Recordings: ${folder}`,
  )
  await new Promise<void>((resolve) =>
    halt.aborted ? resolve() : halt.addEventListener('abort', () => resolve(), { once: true }),
  )
  await http.close()
  await station.stop()
}
