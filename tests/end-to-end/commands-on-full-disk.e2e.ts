import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aChannel, aStationFile } from '../support/a-station.ts'
import { flueledger } from '../support/built-command.ts'
import { SmallDisk } from '../support/small-disk.ts'

let disk: SmallDisk
let folder: string
let station: string
let log: string
beforeAll(() => {
  disk = new SmallDisk(1)
  folder = mkdtempSync(join(tmpdir(), 'flueledger-full-'))
  station = join(folder, 'station.json')
  log = join(folder, 'lines.log')
  writeFileSync(station, JSON.stringify(aStationFile([aChannel('co', { species: 'CO' })])))
  writeFileSync(log, '101\n102\n')
  writeFileSync(join(disk.folder, 'filler'), Buffer.alloc(disk.freeBytes))
})
afterAll(() => {
  disk.remove()
  rmSync(folder, { recursive: true, force: true })
})

const onDisk = (name: string): string => join(disk.folder, name)
const night = ['simulate', '--hours', '1', '--speed', 'fastest']

test.each([
  ['a simulator that writes lines', () => [...night, '--to', `file:${onDisk('night.log')}`]],
  ['a simulator that writes the truth', () => [...night, '--to', 'stdout', '--truth', onDisk('truth.jsonl')]],
  ['an import', () => ['import', log, '--station', station, '--out', onDisk('night.flue.sqlite')]],
  ['a station', () => ['serve', '--station', station, '--data', onDisk('data'), '--port', '0']],
  ['a station in a folder that is there', () => ['serve', '--station', station, '--data', disk.folder, '--port', '0']],
])('%s ends on a full disk with the status for it, and says what is full', async (_, parameters) => {
  const { status, err } = await flueledger(...parameters())
  expect({ status, err }).toEqual({ status: 6, err: expect.stringMatching(/full|SQLITE_IOERR_SHMSIZE/) })
  expect(err).not.toMatch(/defect/)
})

test('an import into a folder that is not there is told which one', async () => {
  const out = join(folder, 'none', 'night.flue.sqlite')
  expect(await flueledger('import', log, '--station', station, '--out', out)).toMatchObject({
    status: 2,
    err: expect.stringContaining(`${out}: there is no folder ${join(folder, 'none')}; make it first`),
  })
})
