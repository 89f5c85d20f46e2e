import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type Server, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import {
  checkAnswer,
  heardAnswer,
  portsAnswer,
  previewAnswer,
  proposalAnswer,
  setUpState,
} from '../../../../protocols/live/set-up.ts'
import { lockDataFolder } from '../../../../server/recording/data-folder-lock.ts'
import { SetUp } from '../../../../server/station/set-up/set-up.ts'
import { StationHost } from '../../../../server/station/station-host.ts'

/** An instrument on the loopback: sends a line to whoever connects, as often as told. Counts who is connected. */
class Instrument {
  readonly sockets = new Set<Socket>()
  accepted = 0
  heard = ''
  private readonly server: Server
  constructor() {
    this.server = createServer((socket) => {
      this.accepted++
      this.sockets.add(socket)
      socket.on('data', (bytes) => {
        this.heard += bytes
      })
      socket.on('close', () => this.sockets.delete(socket))
      socket.on('error', () => {})
    })
  }
  async listen(): Promise<number> {
    await new Promise<void>((resolve) => this.server.listen(0, '127.0.0.1', resolve))
    return (this.server.address() as { port: number }).port
  }
  send(text: string): void {
    for (const socket of this.sockets) socket.write(text)
  }
  async close(): Promise<void> {
    for (const socket of this.sockets) socket.destroy()
    await new Promise((resolve) => this.server.close(resolve))
  }
}

let folder = ''
let host: StationHost
let setUp: SetUp
let instrument: Instrument
let port = 0
const said: string[] = []
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'set-up-'))
  instrument = new Instrument()
  port = await instrument.listen()
  host = new StationHost({ folder, log: (text) => said.push(text) })
  setUp = new SetUp({ file: join(folder, 'station.json'), host })
})
afterEach(async () => {
  vi.useRealTimers()
  await setUp.stopListening()
  await host.stop()
  await instrument.close()
  rmSync(folder, { recursive: true, force: true })
})

const source = () => ({ kind: 'tcp', host: '127.0.0.1', port })
const line = (at: number): string => `22:00:0${at % 10};8,${at % 10};11${at % 10};Messen\r\n`
const lines = (count: number): string => Array.from({ length: count }, (_, at) => line(at)).join('')

/** Listens until so many lines have come. */
async function heardSome(count = 8): Promise<void> {
  expect((await setUp.listen({ source: source() })).ok).toBe(true)
  await vi.waitFor(() => expect(instrument.sockets.size).toBe(1), { timeout: 20_000 })
  instrument.send(`half\r\n${lines(count)}`)
  await vi.waitFor(() => expect(setUp.heard().lines).toBe(count + 1), { timeout: 20_000 })
}
const stationWith = (profile: unknown, name = 'Boiler') => ({
  format: 1,
  regime: 'eu',
  station: { name, timeZone: 'Europe/Vienna' },
  streams: [{ id: 'main', source: source(), profile, expectEverySeconds: 1 }],
  channels: [{ id: 'o2', stream: 'main', field: 'column-2', species: 'O2', unit: 'vol%', basis: 'dry' }],
})
function proposedProfile(): Record<string, unknown> {
  const done = setUp.propose()
  if (!done.ok || !done.value.ok) throw new Error('no proposal')
  return done.value.profile
}
/** Listens, proposes, writes: the station runs. */
async function written(name?: string) {
  await heardSome()
  const station = stationWith(proposedProfile(), name)
  const done = await setUp.write({ station, seen: setUp.state().seen, start: true })
  expect(done).toMatchObject({ ok: true, value: { applies: 'now' } })
  return station
}

test('before an instrument is set up the station waits, and says so', () => {
  expect(setUpState.parse(setUp.state())).toMatchObject({ state: 'waiting', seen: null, station: null })
  expect(host.face.health()).toMatchObject({ ok: false, reasons: ['no instrument is set up yet'] })
  expect(host.face.live().snapshot()).toMatchObject({ streams: [], recording: { state: 'stopped' } })
})

test('lines on trial are shown, a profile is proposed from them, and each stands beside its values', async () => {
  await heardSome()
  const heard = heardAnswer.parse(setUp.heard())
  expect(heard).toMatchObject({ link: 'open', own: false, lines: 9 })
  expect(heard.recent.at(-1)?.text).toBe('22:00:07;8,7;117;Messen')
  const done = setUp.propose()
  const proposal = proposalAnswer.parse(done.ok && done.value)
  expect(proposal).toMatchObject({ ok: true, profile: { form: 'delimited', decimal: ',' } })
  const preview = previewAnswer.parse(setUp.preview(proposedProfile(), 'Europe/Vienna'))
  // The first piece after an opening may be half a line: it takes no part in the proposal either.
  expect(preview).toMatchObject({ faults: [], lines: 8, read: 8 })
  expect(preview.shown.at(-1)?.read).toMatchObject({ ok: true, status: [{ token: 'Messen', tells: 'Measuring' }] })
})

test('a profile that is not sound reads nothing, and says what is wrong by path', async () => {
  await heardSome()
  const { faults } = setUp.preview({ ...proposedProfile(), delimiter: ',', quote: '' }, 'UTC')
  expect(faults).toEqual([expect.objectContaining({ path: 'delimiter' })])
  expect(setUp.preview({ form: 'delimited' }, 'UTC').faults.map(({ path }) => path)).toEqual(
    expect.arrayContaining(['name', 'fields']),
  )
})

test('faults of a station file stand by their path, and nothing is written', async () => {
  await heardSome()
  const station = stationWith(proposedProfile(), '')
  const [channel] = station.channels
  const wrong = { ...station, channels: [{ ...channel, unit: 'bar' }] }
  const check = checkAnswer.parse(setUp.check(wrong))
  expect(check.faults.map(({ path }) => path).sort()).toEqual(['channels[0].unit', 'station.name'])
  expect(await setUp.write({ station: wrong, seen: null, start: true })).toMatchObject({
    ok: false,
    refusal: { status: 400 },
  })
  expect(existsSync(join(folder, 'station.json'))).toBe(false)
})

test('a file that is looked over is told what it leaves open, a profile in a file of its own by its name', () => {
  writeFileSync(
    join(folder, 'boiler.json'),
    JSON.stringify({ form: 'delimited', name: 'Boiler', fields: [{ name: 'o2' }] }),
  )
  const { profile: _, ...stream } = stationWith({}).streams[0] as Record<string, unknown>
  const station = { ...stationWith({}), regime: 'us', streams: [{ ...stream, profile: 'boiler.json' }] }
  const check = checkAnswer.parse(setUp.check(station))
  expect(check.faults).toContainEqual({ path: 'fields[0].at', message: expect.stringMatching(/^in boiler\.json: /) })
  // 40 CFR 60.4213(d), docs/regimes.md.
  expect(check.open).toContainEqual({ path: 'conversions.ambientOxygen', value: 20.9, from: 'preset' })
})

test('what is written is the station file itself, and the station starts with it; the port was given back first', async () => {
  const station = await written()
  expect(JSON.parse(readFileSync(join(folder, 'station.json'), 'utf8'))).toEqual(station)
  expect(host.state).toBe('running')
  // Once on trial, once by the station, never both.
  await vi.waitFor(() => expect(instrument.accepted).toBe(2), { timeout: 20_000 })
  await vi.waitFor(() => expect(instrument.sockets.size).toBe(1), { timeout: 20_000 })
  expect(host.face.live().snapshot()).toMatchObject({ station: 'Boiler', streams: [{ id: 'main' }] })
})

test('a source that the station holds is not opened a second time: its own lines are shown', async () => {
  await written()
  await vi.waitFor(() => expect(instrument.sockets.size).toBe(1), { timeout: 20_000 })
  instrument.send(`half\r\n${lines(5)}`)
  await setUp.listen({ source: { ...source(), host: 'localhost' } })
  await vi.waitFor(() => expect(setUp.heard()).toMatchObject({ own: true, lines: 6 }), { timeout: 20_000 })
  expect(instrument.accepted).toBe(2)
  await setUp.stopListening()
  // The station’s own link is not the trial’s to close.
  expect(instrument.sockets.size).toBe(1)
})

test('while a station file is written and taken up, no port is opened beside the station', async () => {
  await heardSome()
  const writing = setUp.write({ station: stationWith(proposedProfile()), seen: null, start: true })
  expect(await setUp.listen({ source: source() })).toMatchObject({ ok: false, refusal: { status: 409 } })
  expect(await writing).toMatchObject({ ok: true })
  await vi.waitFor(() => expect(instrument.accepted).toBe(2), { timeout: 20_000 })
})

test('a change while a run is on is written, waits, and is taken up once the run has ended; no run begins by itself', async () => {
  const station = await written()
  const changed = { ...station, station: { ...station.station, name: 'Boiler 2' } }
  expect(setUp.check(changed).difference.filter(({ kind }) => kind === 'old' || kind === 'new')).toEqual([
    { kind: 'old', text: '    "name": "Boiler",' },
    { kind: 'new', text: '    "name": "Boiler 2",' },
  ])
  const done = await setUp.write({ station: changed, seen: setUp.state().seen, start: true })
  expect(done).toMatchObject({ ok: true, value: { applies: 'next-run' } })
  expect(host.face.live().snapshot().station).toBe('Boiler')
  expect(host.face.live().snapshot().warnings.join()).toContain('the next run uses it')
  expect(JSON.parse(readFileSync(join(folder, 'station.json.before'), 'utf8'))).toEqual(station)
  expect(await host.face.run({ do: 'end', by: 'A. Tester', note: '' })).toEqual({ ok: true })
  await vi.waitFor(() => expect(host.face.live().snapshot().station).toBe('Boiler 2'), { timeout: 20_000 })
  await vi.waitFor(() => expect(setUp.state()).toMatchObject({ state: 'standby', pending: false }), { timeout: 20_000 })
})

test('a file that was changed by another hand meanwhile is not written over', async () => {
  const station = await written()
  const { seen } = setUp.state()
  writeFileSync(join(folder, 'station.json'), `// by hand\n${JSON.stringify(station)}\n`)
  expect(await setUp.write({ station, seen, start: true })).toMatchObject({ ok: false, refusal: { status: 409 } })
  expect(readFileSync(join(folder, 'station.json'), 'utf8')).toMatch(/^\/\/ by hand/)
})

test('a station that cannot start says why, and can be started again once the cause is gone', async () => {
  await heardSome()
  const station = stationWith(proposedProfile())
  const lock = lockDataFolder(folder, 0)
  expect(await setUp.write({ station, seen: null, start: true })).toMatchObject({
    ok: false,
    refusal: { status: 409, errors: [expect.stringContaining('written, but not started')] },
  })
  expect(setUp.state()).toMatchObject({ state: 'waiting', station })
  lock.release()
  expect(await setUp.write({ station, seen: setUp.state().seen, start: true })).toMatchObject({ ok: true })
  expect(host.state).toBe('running')
})

test('a trial that nobody asks for is closed after 20 seconds, and its port given back', async () => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
  await setUp.listen({ source: source() })
  vi.advanceTimersByTime(1)
  await vi.waitFor(() => expect(instrument.sockets.size).toBe(1), { timeout: 20_000 })
  vi.advanceTimersByTime(19_000)
  expect(setUp.heard().link).not.toBe('closed')
  vi.advanceTimersByTime(19_000)
  expect(setUp.heard().link).not.toBe('closed')
  vi.advanceTimersByTime(20_001)
  await vi.waitFor(() => expect(instrument.sockets.size).toBe(0), { timeout: 20_000 })
  expect(setUp.heard().link).toBe('closed')
})

test('of a file its first lines are shown at once, and new ones as they come', async () => {
  const path = join(folder, 'night.log')
  writeFileSync(path, `O2 %;CO ppm\n${'8.1;112\n'.repeat(5)}`)
  await setUp.listen({ source: { kind: 'file', path, from: 'start' } })
  expect(setUp.heard().lines).toBe(6)
  await vi.waitFor(() => expect(setUp.heard().link).toBe('open'), { timeout: 20_000 })
  writeFileSync(path, '8.2;113\n', { flag: 'a' })
  await vi.waitFor(() => expect(setUp.heard().lines).toBe(7), { timeout: 5000 })
  expect(proposedProfile()).toMatchObject({ header: true, fields: [{ at: 'O2 %' }, { at: 'CO ppm' }] })
})

test('only a port, an address or a file is listened to, and what is wrong with it is told by path', async () => {
  expect(await setUp.listen({ source: { kind: 'simulator' } })).toMatchObject({ ok: false, refusal: { status: 400 } })
  expect(await setUp.listen({ source: { kind: 'tcp', host: '', port: 99_999 } })).toMatchObject({
    ok: false,
    refusal: { errors: [expect.stringMatching(/^host: /), expect.stringMatching(/^port: /)] },
  })
  expect(setUp.propose()).toMatchObject({ ok: false, refusal: { status: 409 } })
})

test('an instrument that only answers when asked is asked on trial too', async () => {
  await setUp.listen({ source: source(), poll: { send: 'R\r', everySeconds: 1 } })
  await vi.waitFor(() => expect(instrument.heard).toContain('R\r'), { timeout: 20_000 })
})

test('ports are listed as by the command', async () => {
  portsAnswer.parse({ ports: await setUp.ports() })
})
