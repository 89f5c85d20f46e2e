import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, openSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { healthAnswer } from '../../protocols/live/requests.ts'
import { aChannel, aStationFile } from '../support/a-station.ts'
import { flueledger, main, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-output-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A device that has no room for a byte. */
const full = () => openSync('/dev/full', 'w')

test('a station whose messages find no room goes on recording, and stops in order', async () => {
  const station = join(folder, 'station.json')
  writeFileSync(station, JSON.stringify(aStationFile([aChannel('co', { species: 'CO' })], { regime: 'eu' })))
  const remarks = (await flueledger('validate', station)).out
  const data = join(folder, 'data')
  const serve = spawn(process.execPath, [main, 'serve', '--station', station, '--data', data, '--port', '0'], {
    stdio: ['ignore', 'pipe', full()],
  })
  const ended = once(serve, 'exit')
  let out = ''
  serve.stdout?.on('data', (text: Buffer) => {
    out += text
  })
  const address = await until('the station serves', () => {
    if (serve.exitCode !== null) throw new Error(`it ended with ${serve.exitCode}`)
    return /^dashboard: (http:\S+)\/$/m.exec(out)?.[1]
  })
  const health = healthAnswer.parse(await (await fetch(`${address}/healthz`)).json())
  serve.kill('SIGTERM')

  expect(remarks, 'something is told as it starts').toMatch(/^note: /)
  expect(health.storedUpToMs).not.toBeNull()
  expect(await ended).toEqual([0, null])
  expect(readdirSync(data).filter((name) => /-(wal|shm)$/.test(name))).toEqual([])
})

test('results that find no room on the disk are status 6, with the way out', async () => {
  const calc = spawn(process.execPath, [main, 'calc'], { stdio: ['ignore', full(), 'pipe'] })
  const ended = once(calc, 'close')
  let err = ''
  calc.stderr?.on('data', (text: Buffer) => {
    err += text
  })

  expect(await ended).toEqual([6, null])
  expect(err).toMatch(/standard output: the disk is full; .* Make room/)
  expect(err).not.toMatch(/defect|at .*\.js/)
})
