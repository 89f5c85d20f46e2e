import { afterEach, expect, test } from 'vitest'
import { endAll, Running, until } from '../support/built-command.ts'

afterEach(endAll)

test.each([
  ['which the system makes none in', '/proc/nope/data', 'ENOENT'],
  ['below a file', '/etc/hostname/data', 'ENOTDIR'],
  ['that is a file', '/etc/hostname', 'it is a file; give a folder'],
])('a data folder %s is refused with the reason, at once', async (_, folder, reason) => {
  const station = new Running('demo', '--data', folder, '--port', '0')
  expect(await until('the station ends', () => station.ended !== null && { status: station.ended })).toEqual({
    status: 2,
  })
  expect(station.err).toContain(`${folder}: cannot be used for recordings: ${reason}`)
})
