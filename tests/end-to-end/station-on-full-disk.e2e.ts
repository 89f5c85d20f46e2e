import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { blocksAnswer, healthAnswer, logbookAnswer, verifyAnswer } from '../../protocols/live/requests.ts'
import { endAll, flueledger, post, Running, until } from '../support/built-command.ts'
import { SmallDisk } from '../support/small-disk.ts'

/** The night passes at this speed, so that its recording fills the disk within seconds. */
const speed = 600

let disk: SmallDisk
let folder: string
beforeEach(() => {
  disk = new SmallDisk(8)
  folder = mkdtempSync(join(tmpdir(), 'station-on-full-disk-'))
})
afterEach(async () => {
  await endAll()
  disk.remove()
  rmSync(folder, { recursive: true, force: true })
})

async function onFullDisk(): Promise<{ readonly serve: Running; readonly address: string }> {
  const simulate = ['simulate', '--scenario', 'calm-night', '--speed', String(speed)]
  const simulator = new Running(...simulate, '--to', 'tcp:0')
  const station = join(folder, 'station.json')
  writeFileSync(station, (await flueledger(...simulate, '--station-file', '--to', `tcp:${await simulator.port()}`)).out)
  const serve = new Running('serve', '--station', station, '--data', disk.folder, '--port', '0')
  const address = await serve.address()
  await until('nothing is stored any more', async () => (await health(address)).reasons.some(isFull))
  return { serve, address }
}
const health = async (address: string) => healthAnswer.parse(await (await fetch(`${address}/healthz`)).json())
const isFull = (reason: string): boolean => /nothing is stored: .*full/.test(reason)
const recording = (): string =>
  join(disk.folder, readdirSync(disk.folder).find((name) => name.endsWith('.flue.sqlite')) ?? '')

test('on a full disk all that was stored is still told, also whole files; with room again the run is whole', async () => {
  const { serve, address } = await onFullDisk()
  const current = `${address}/api/recordings/current`
  // What an operator does holds at once, and is not called done before it is stored.
  const note = { do: 'note', by: 'A. Tester', text: 'the disk is full', pressedMs: 0 }
  const noted = await post(address, '/api/actions', note)
  expect([noted.status, await noted.json()]).toEqual([
    507,
    {
      ok: false,
      errors: [expect.stringMatching(/in force, but not stored yet .*full.* lost if the station ends before/)],
    },
  ])

  const { rows } = blocksAnswer.parse(await (await fetch(`${current}/blocks?average=PT30M&channel=co`)).json())
  expect(rows.length).toBeGreaterThan(0)
  for (const asked of ['logbook', 'channels', 'phases?from=0&to=1', 'amendments', 'settings', 'file'])
    expect([asked, (await fetch(`${current}/${asked}`)).status]).toEqual([asked, 200])
  for (const format of ['csv', 'json', 'xlsx'])
    expect([format, (await fetch(`${current}/export?format=${format}`)).status]).toEqual([format, 200])
  expect(verifyAnswer.parse(await (await fetch(`${current}/verify`)).json())).toMatchObject({ ok: true })

  // What must be on the disk before it is called done cannot be done now: that is told, and why.
  const amended = await post(address, '/api/recordings/current/amend', {
    do: 'exclude',
    by: 'A. Tester',
    fromMs: rows[0]?.startMs,
    toMs: (rows[0]?.startMs ?? 0) + 60_000,
    reason: 'probe was out',
  })
  expect([amended.status, await amended.json()]).toEqual([
    507,
    { ok: false, errors: [expect.stringMatching(/full.*make room on the disk/)] },
  ])

  disk.grow()
  await until('all is stored again', async () => !(await health(address)).reasons.some(isFull))
  const { entries } = logbookAnswer.parse(await (await fetch(`${current}/logbook`)).json())
  expect(entries.filter(({ text }) => text.includes(note.text))).toHaveLength(1)
  await serve.endsInOrder()
  expect((await flueledger('verify', recording())).status).toBe(0)
  expect(serve.err).not.toMatch(/defect/)
})

test('a station that is stopped on a full disk says how much could not be stored, and the rest is sound', async () => {
  const { serve } = await onFullDisk()
  expect(await serve.stop()).toMatchObject({ status: 6 })
  expect(serve.err).toMatch(/\d+ inputs could not be stored: .*full/)
  expect(serve.err).not.toMatch(/defect/)
  expect((await flueledger('verify', recording())).status).toBe(0)
})
