import { fileURLToPath } from 'node:url'
import { stationClock } from '../clock.ts'
import { engineVersion } from '../engine/state.ts'
import { startHttp } from '../http/start-http.ts'
import { leftRun } from '../station/left-run.ts'
import { Station } from '../station/station.ts'
import { stationFace } from '../station/station-face.ts'
import { exitStatus } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
import { passphraseFrom } from './passphrase.ts'
import { print, say } from './printing.ts'
import { stationFromFile } from './station-from-file.ts'

export interface ServeOptions {
  readonly station: string
  readonly host: string
  readonly port?: number
  readonly data: string
  readonly passphraseFile?: string
}

export const webFolder = (): string =>
  fileURLToPath(new URL(import.meta.url.endsWith('.ts') ? '../../dist/web' : '../../web', import.meta.url))

/** `flueledger serve`: runs a station until it is stopped. An orderly stop suspends the run; starting again goes on with it. */
export async function serve({ station: file, host, port, data, passphraseFile }: ServeOptions): Promise<number> {
  const passphrase = passphraseFile === undefined ? undefined : passphraseFrom(passphraseFile)
  const { station } = stationFromFile(file)
  const halt = haltSignal()
  // A run that goes on keeps its order: at speed, station time was ahead of the wall clock when the station went down.
  const clock = stationClock({
    speed: station.clock.speed,
    notBeforeMs: leftRun(data)?.extent.lastMs ?? Number.NEGATIVE_INFINITY,
  })
  const running = new Station({
    station,
    folder: data,
    clock,
    invented: station.streams.some(({ source }) => source.kind === 'simulator'),
    log: say,
  })
  await running.start()
  const http = await startHttp({
    face: stationFace(running),
    host,
    port,
    passphrase,
    webFolder: webFolder(),
    version: engineVersion,
    log: say,
  }).catch(async (error: unknown) => {
    await running.stop()
    throw error
  })
  if (http.usualPortTaken) say('the usual port is taken; this is another one')
  print(`dashboard: http://${http.address.host}:${http.address.port}/`)
  await new Promise<void>((resolve) =>
    halt.aborted ? resolve() : halt.addEventListener('abort', () => resolve(), { once: true }),
  )
  await http.close()
  await running.stop()
  return exitStatus.done
}
