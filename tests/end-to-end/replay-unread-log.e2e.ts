import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { aChannel, aStationFile } from '../support/a-station.ts'
import { flueledger } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-unread-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test.each([
  ['that is empty', '', 1, /is empty; there is nothing to replay/],
  ['of zero bytes', '\0'.repeat(5000), 1, /none of its lines could be read .* `propose` says/],
  ['of which one line can be read', '\0\n101\n', 0, /1 line takes no part/],
])('a replay of a log %s says what there was in it', async (_, content, status, said) => {
  const station = join(folder, 'station.json')
  const log = join(folder, 'lines.log')
  writeFileSync(station, JSON.stringify(aStationFile([aChannel('co', { species: 'CO' })])))
  writeFileSync(log, content)

  expect(await flueledger('replay', log, '--station', station)).toMatchObject({
    status,
    err: expect.stringMatching(said),
  })
})
