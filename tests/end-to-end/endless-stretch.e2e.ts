import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { seriesAnswer } from '../../protocols/live/requests.ts'
import { aChannel, aStationFile } from '../support/a-station.ts'
import { endAll, Running, until } from '../support/built-command.ts'
import { patienceMs } from '../support/patience.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-stretch-'))
afterAll(async () => {
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

test('a chart of all the time that a date can hold shows the readings there are, and holds nothing up', async () => {
  const log = join(folder, 'lines.log')
  writeFileSync(log, '101\n102\n103\n')
  const given = aStationFile([aChannel('co', { species: 'CO' })], {
    phases: { from: ['operator'], otherwise: 'measure' },
  })
  const streams = given.streams.map((stream) => ({ ...stream, source: { kind: 'file', path: log, from: 'start' } }))
  const file = join(folder, 'station.json')
  writeFileSync(file, JSON.stringify({ ...given, streams }))
  const serve = new Running('serve', '--station', file, '--data', join(folder, 'data'), '--port', '0')
  const address = await serve.address()

  const last = await until('its readings are on the chart', async () => {
    const asked = `${address}/api/recordings/current/series?channels=co&value=asRead&from=-8640000000000000&to=8640000000000000&columns=1`
    const answered = await fetch(asked, { signal: AbortSignal.timeout(patienceMs) })
    return seriesAnswer.parse(await answered.json()).channels.co?.last[0]
  })

  expect(last).toBe(103)
  await serve.endsInOrder()
})
