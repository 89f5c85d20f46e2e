import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { healthAnswer } from '../../protocols/live/requests.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { endAll, flueledger, post, Running, until } from '../support/built-command.ts'
import { SmallDisk } from '../support/small-disk.ts'

let disk: SmallDisk
let folder: string
beforeEach(() => {
  disk = new SmallDisk(2)
  folder = mkdtempSync(join(tmpdir(), 'run-ends-on-full-disk-'))
})
afterEach(async () => {
  await endAll()
  disk.remove()
  rmSync(folder, { recursive: true, force: true })
})

const reasons = async (address: string): Promise<string> =>
  healthAnswer.parse(await (await fetch(`${address}/healthz`)).json()).reasons.join('; ')

test('a run that is ended on a full disk goes on and says so; with room again it ends, and the next is recorded', async () => {
  const simulate = ['simulate', '--scenario', 'calm-night', '--speed', '600']
  const simulator = new Running(...simulate, '--to', 'tcp:0')
  const station = join(folder, 'station.json')
  writeFileSync(station, (await flueledger(...simulate, '--station-file', '--to', `tcp:${await simulator.port()}`)).out)
  const serve = new Running('serve', '--station', station, '--data', disk.folder, '--port', '0')
  const address = await serve.address()
  await until('nothing is stored any more', async () => /nothing is stored: .*full/.test(await reasons(address)))

  const refused = await post(address, '/api/run', { do: 'end', by: 'A. Tester' })
  expect([refused.status, await refused.json()]).toEqual([
    507,
    { ok: false, errors: [expect.stringMatching(/could not be ended .*full.*making room on a full disk/)] },
  ])
  expect(await reasons(address)).not.toMatch(/no run is going on/)

  disk.grow()
  await until('all is stored again', async () => !/nothing is stored/.test(await reasons(address)))
  expect((await post(address, '/api/run', { do: 'end', by: 'A. Tester' })).status).toBe(200)
  expect((await post(address, '/api/run', { do: 'start', by: 'A. Tester', name: 'second' })).status).toBe(200)
  await serve.endsInOrder()

  const files = readdirSync(disk.folder).filter((name) => name.endsWith('.flue.sqlite'))
  expect(files.map((name) => name.replace(/\d{8}T\d{6}Z/, 'TIME')).sort()).toEqual([
    'TIME-run.flue.sqlite',
    'TIME-second.flue.sqlite',
    'standby-TIME.flue.sqlite',
  ])
  for (const file of files) expect((await flueledger('verify', join(disk.folder, file))).status).toBe(0)
  const reader = openRecording(join(disk.folder, files.find((name) => name.endsWith('-run.flue.sqlite')) ?? ''))
  expect(reader.runAndClockChanges().at(-1)).toMatchObject({ kind: 'run', change: 'end', by: 'A. Tester' })
  reader.close()
})
