import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, expect, test } from 'vitest'
import { blocksAnswer, healthAnswer } from '../../protocols/live/requests.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { endAll, flueledger, Running, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'two-commands-'))
afterAll(async () => {
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

test('a visitor of the demo finds a night under way; Ctrl-C ends it in order and its recording verifies', async () => {
  const data = join(folder, 'demo')
  const demo = new Running('demo', '--port', '0', '--data', data)
  const address = await demo.address()
  expect(address).toMatch(/^http:\/\/127\.0\.0\.1:[1-9]\d*$/)
  await until('the station says that it is well', async () => (await fetch(`${address}/healthz`)).status === 200)
  expect(healthAnswer.parse(await (await fetch(`${address}/healthz`)).json())).toMatchObject({ ok: true, reasons: [] })
  const page = await fetch(`${address}/`)
  expect([page.status, await page.text()]).toEqual([200, expect.stringContaining('<title>')])

  const valid = await until('ten valid half-hours of carbon monoxide', async () => {
    const answer = await fetch(`${address}/api/recordings/current/blocks?average=PT30M&channel=co&quantity=as_read`)
    const rows = blocksAnswer.parse(await answer.json()).rows.filter((row) => row.valid)
    return rows.length >= 10 && rows
  })
  for (const { mean, count, unit, basis } of valid)
    expect([mean, count, unit, basis]).toEqual([expect.any(Number), expect.any(Number), 'ppm', 'dry'])

  // The folder is taken meanwhile: a second station on it is turned away, and this one goes on.
  const stationFile = join(folder, 'second.json')
  writeFileSync(stationFile, (await flueledger('simulate', '--station-file', '--to', 'tcp:9')).out)
  const second = await flueledger('serve', '--station', stationFile, '--data', data, '--port', '0')
  expect(second.status).toBe(3)
  expect(second.err).toMatch(/in use by process \d+/)
  expect(second.out).toBe('')
  expect(demo.ended).toBeNull()

  const { status, ms } = await demo.stop('SIGINT')
  expect(status).toBe(0)
  expect(ms).toBeLessThan(5000)
  const [file = 'none', ...more] = readdirSync(data).filter((name) => name.endsWith('.flue.sqlite'))
  expect(more).toEqual([])
  const verified = await flueledger('verify', join(data, file), '--json')
  expect(verified.status, verified.out).toBe(0)
  expect(JSON.parse(verified.out)).toMatchObject({ ok: true, recomputation: { ok: true } })
})

test('the demo started again on its folder goes on with the same run, its time running on', async () => {
  const data = join(folder, 'demo')
  const [file = 'none'] = readdirSync(data).filter((name) => name.endsWith('.flue.sqlite'))
  const content = () => {
    const reader = openRecording(join(data, file))
    try {
      return { ...reader.extent(), changes: reader.changes() }
    } finally {
      reader.close()
    }
  }
  const before = content()
  const demo = new Running('demo', '--port', '0', '--data', data)
  await demo.address()
  await until('lines come again', () => content().lines >= before.lines + 3)
  expect((await demo.stop('SIGINT')).status).toBe(0)
  expect(readdirSync(data).filter((name) => name.endsWith('.flue.sqlite'))).toEqual([file])
  const resumed = content().changes.find((event) => event.kind === 'run' && event.change === 'resume')
  expect(resumed?.atMs).toBeGreaterThanOrEqual(before.lastMs ?? Number.NaN)
  expect((await flueledger('verify', join(data, file))).status).toBe(0)
})

test('a demo that is killed takes its simulator with it', async () => {
  const demo = new Running('demo', '--port', '0', '--data', join(folder, 'killed'))
  await demo.address()
  const children = readFileSync(`/proc/${demo.pid}/task/${demo.pid}/children`, 'utf8').trim().split(' ')
  expect(children).toHaveLength(1)
  const isGone = (pid = '') => {
    try {
      return / Z /.test(readFileSync(`/proc/${pid}/stat`, 'utf8')) // Ended, and nobody has asked for its status yet.
    } catch {
      return true
    }
  }
  expect(isGone(children[0])).toBe(false)
  await demo.stop('SIGKILL')
  await until('the simulator ends', () => isGone(children[0]))
})

test('a bad station file ends serve with status 2, each fault with its file, line and column, and nothing is made', async () => {
  const file = fileURLToPath(new URL('../fixtures/bad-station-files/average-missing.bad.json', import.meta.url))
  const data = join(folder, 'never')
  const { status, out, err } = await flueledger('serve', '--station', file, '--data', data, '--port', '0')
  expect(status).toBe(2)
  expect(out).toBe('')
  expect(err).toContain(`${file}:105:5: limits[0].average`)
  // The place told is that of the limit that lacks its average.
  expect(readFileSync(file, 'utf8').split('\n')[104]?.slice(4)).toMatch(/^\{/)
  expect(existsSync(data)).toBe(false)
})

test('a simulator that cannot be started ends serve with status 2, says which scenarios there are, and leaves no run behind', async () => {
  const file = join(folder, 'no-scenario.json')
  const station = JSON.parse((await flueledger('simulate', '--station-file', '--to', 'tcp:4001')).out)
  station.streams[0].source = { kind: 'simulator', scenario: 'nope' }
  writeFileSync(file, JSON.stringify(station))
  const data = join(folder, 'no-scenario')
  const { status, out, err } = await flueledger('serve', '--station', file, '--data', data, '--port', '0')
  expect([status, out]).toEqual([2, ''])
  expect(err).toMatch(/scenarios by name are calm-night/)
  expect(err).toContain('the simulator could not be started with the scenario "nope"')
  expect(readdirSync(data).filter((name) => name.includes('.sqlite'))).toEqual([])
})
