import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { engineVersion } from '../engine/engine-version.ts'
import { startHttp } from '../http/start-http.ts'
import { lockDataFolder } from '../recording/data-folder-lock.ts'
import { SetUp } from '../station/set-up/set-up.ts'
import { StationHost } from '../station/station-host.ts'
import { exitStatus } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
import { passphraseFrom } from './passphrase.ts'
import { print, say } from './printing.ts'
import { stationFromFile } from './station-from-file.ts'

export interface ServeOptions {
  /** Without it the station file of the data folder, which the set-up in the browser writes. */
  readonly station?: string
  readonly host: string
  readonly port?: number
  readonly data: string
  readonly passphraseFile?: string
}

export const webFolder = (): string =>
  fileURLToPath(new URL(import.meta.url.endsWith('.ts') ? '../../dist/web' : '../../web', import.meta.url))

/** `flueledger serve`: runs a station until it is stopped. An orderly stop suspends the run; starting again goes on with it. */
export async function serve({ station: given, host, port, data, passphraseFile }: ServeOptions): Promise<number> {
  const passphrase = passphraseFile === undefined ? undefined : passphraseFrom(passphraseFile)
  const file = given ?? join(data, 'station.json')
  const loaded = given !== undefined || existsSync(file) ? stationFromFile(file) : null
  const halt = haltSignal()
  // Refused before anybody sets an instrument up.
  if (loaded === null) lockDataFolder(data, Date.now()).release()
  const running = new StationHost({ folder: data, log: say, halt })
  if (loaded !== null) await running.begin(loaded.station)
  if (halt.aborted) {
    await running.stop()
    return exitStatus.done
  }
  const setUp = new SetUp({ file, host: running })
  const stop = async (): Promise<void> => {
    await setUp.stopListening()
    await running.stop()
  }
  const http = await startHttp({
    face: running.face,
    setUp,
    host,
    port,
    passphrase,
    webFolder: webFolder(),
    version: engineVersion,
    log: say,
  }).catch(async (error: unknown) => {
    await stop()
    throw error
  })
  if (http.usualPortTaken) say('the usual port is taken; this is another one')
  if (loaded === null) say(`no instrument is set up yet: open the dashboard to set one up; it writes ${file}`)
  print(`dashboard: http://${http.address.host}:${http.address.port}/`)
  await new Promise<void>((resolve) =>
    halt.aborted ? resolve() : halt.addEventListener('abort', () => resolve(), { once: true }),
  )
  await http.close()
  await stop()
  return exitStatus.done
}
