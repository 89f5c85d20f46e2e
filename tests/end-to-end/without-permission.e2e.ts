import { chmodSync, copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { boundByRights } from '../support/bound-by-rights.ts'
import { flueledger } from '../support/built-command.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'rights-'))
})
afterEach(() => {
  for (const closed of ['closed', 'read-only']) {
    const path = join(folder, closed)
    mkdirSync(path, { recursive: true })
    chmodSync(path, 0o700)
  }
  rmSync(folder, { recursive: true })
})

/** An invented half-hour as a text log, and the station file that reads it. */
async function aLog() {
  const [log, station] = [join(folder, 'half-hour.log'), join(folder, 'station.json')]
  const to = ['simulate', '--scenario', 'half-hour', '--to', `file:${log}`]
  await flueledger(...to, '--speed', 'fastest', '--hours', '0.1')
  writeFileSync(station, (await flueledger(...to, '--station-file')).out)
  return { log, station }
}

test('a recording that may be read and not written, in such a folder, is verified, replayed and exported; one that may not be read says so', async () => {
  const { log, station } = await aLog()
  const whole = join(folder, 'whole.flue.sqlite')
  expect((await flueledger('import', log, '--station', station, '--out', whole)).status).toBe(0)

  const shelf = join(folder, 'read-only')
  const kept = join(shelf, 'kept.flue.sqlite')
  mkdirSync(shelf)
  copyFileSync(whole, kept)
  chmodSync(kept, 0o444)
  chmodSync(shelf, 0o555)
  const refused = join(shelf, 'new.flue.sqlite')
  expect(boundByRights('import', log, '--station', station, '--out', refused)).toMatchObject({
    status: 2,
    err: expect.stringContaining(
      `${refused}: cannot be written: no permission to write into its folder; choose another --out`,
    ),
  })
  expect(boundByRights('verify', kept)).toMatchObject({
    status: 0,
    out: expect.stringContaining('recomputation: sound'),
  })
  expect(boundByRights('replay', kept, '--json').status).toBe(0)
  expect(boundByRights('export', kept, '--format', 'csv', '--out', join(folder, 'out')).status).toBe(0)
  expect(readFileSync(join(folder, 'out', 'blocks.csv'), 'utf8').split('\n').length).toBeGreaterThan(2)

  const closed = join(folder, 'closed')
  mkdirSync(closed)
  const within = join(closed, 'within.flue.sqlite')
  copyFileSync(whole, within)
  chmodSync(closed, 0o000)
  chmodSync(whole, 0o000)
  for (const path of [whole, within])
    for (const command of ['verify', 'replay', 'explain']) {
      const more = command === 'explain' ? ['--block', '2026-11-20T19:00:00Z', '--channel', 'o2'] : []
      expect(boundByRights(command, path, ...more), `${command} ${path}`).toMatchObject({
        status: 2,
        err: `flueledger: ${path}: cannot be read: no permission to read it; let this user read it\n`,
      })
    }
})

test('a data folder that may not be written to is refused with what is wrong', async () => {
  const { station } = await aLog()
  const shelf = join(folder, 'read-only')
  mkdirSync(shelf)
  chmodSync(shelf, 0o555)
  const refused = 'no permission to write there; let this user write, or choose another data folder'
  for (const data of [shelf, join(shelf, 'below')]) {
    const { status, err } = boundByRights('serve', '--station', station, '--data', data, '--port', '0')
    expect({ status, err }).toEqual({
      status: 2,
      err: expect.stringContaining(`flueledger: ${data}: cannot be used for recordings: ${refused}`),
    })
  }
})

test('a profile that may not be read is not called missing, and no ready one stands in for it', async () => {
  const { station } = await aLog()
  const file = JSON.parse(readFileSync(station, 'utf8'))
  const profile = join(folder, 'own.json')
  writeFileSync(profile, JSON.stringify(file.streams[0].profile))
  file.streams[0].profile = 'own'
  writeFileSync(station, JSON.stringify(file))
  expect(boundByRights('validate', station).status).toBe(0)
  chmodSync(profile, 0o000)
  expect(boundByRights('validate', station)).toMatchObject({
    status: 2,
    out: expect.stringContaining(
      `streams[0].profile: ${profile} cannot be read: no permission to read it; let this user read it`,
    ),
  })
})
