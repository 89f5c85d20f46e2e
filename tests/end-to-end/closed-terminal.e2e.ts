import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { aChannel, aStationFile } from '../support/a-station.ts'
import { endAll, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-terminal-'))
afterAll(async () => {
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

test('a station that was started without a terminal goes on when one is closed', async () => {
  const station = join(folder, 'station.json')
  writeFileSync(station, JSON.stringify(aStationFile([aChannel('co', { species: 'CO' })])))
  const data = join(folder, 'data')
  const serve = new Running('serve', '--station', station, '--data', data, '--port', '0')
  const address = await serve.address()

  serve.signal('SIGHUP')
  const alive = await fetch(`${address}/healthz`).then(({ status }) => status)
  await serve.endsInOrder()

  expect(alive).toBe(503) // Its instrument is not there; it answers all the same.
  expect(readdirSync(data).filter((name) => /-(wal|shm)$/.test(name))).toEqual([])
})
