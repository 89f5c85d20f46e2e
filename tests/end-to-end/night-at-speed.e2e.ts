import {
  copyFileSync,
  createReadStream,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { endAll, flueledger, type Outcome, post, Running, until } from '../support/built-command.ts'
import { Cable } from '../support/pty-pair.ts'

/** Station seconds per real second: the ten hours of the rough night pass in half a minute. */
const speed = 1200
const nightStart = Date.parse('2026-11-21T19:00:00Z')
const atMinute = (minute: number): number => nightStart + minute * 60_000
/** The permit of this station: the gas limit has to be passed for 30 minutes. The plant passes it from minute 70 to 150: time for the kill, and then for the shelf. */
const onDelaySeconds = 1800
/** How long the shelf holds, minutes of the station’s clock. */
const shelfMinutes = 20

const folder = mkdtempSync(join(tmpdir(), 'night-at-speed-'))
const data = join(folder, 'data')
const truthFile = join(folder, 'truth.jsonl')
const stationFile = join(folder, 'station.json')
const cable = new Cable()
const recording = (): string => join(data, readdirSync(data).find((name) => name.endsWith('.flue.sqlite')) ?? 'none')

/** The instrument’s own time in the newest stored line, ms. */
function newestMs(): number {
  const db = new Database(recording(), { readonly: true })
  try {
    const rows = db.prepare('SELECT bytes FROM line ORDER BY sequence DESC LIMIT 20').all() as { bytes: Buffer }[]
    for (const { bytes } of rows) {
      const [, text] = /^t=(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ);/.exec(bytes.toString('latin1')) ?? []
      if (text !== undefined) return Date.parse(text)
    }
    return Number.NaN
  } finally {
    db.close()
  }
}
function read<T>(what: (reader: ReturnType<typeof openRecording>) => T): T {
  const reader = openRecording(recording())
  try {
    return what(reader)
  } finally {
    reader.close()
  }
}
const alarms = (): AlarmTransition[] => read((reader) => reader.alarms())
const raised = (alarm: string) => (): AlarmTransition | undefined =>
  alarms().find(
    (transition) => transition.alarm === alarm && transition.input === 'enter' && transition.to === 'raised',
  )
const links = (): string[] =>
  read((reader) => reader.changes().flatMap((event) => (event.kind === 'link' ? [event.state] : [])))
const opened = (states = links()): number => states.filter((state) => state === 'open').length
/** The port was opened since, and is open now. */
const isOpenAnew = (before: number) => (): boolean => {
  const states = links()
  return opened(states) > before && states.at(-1) === 'open'
}
/**
 * Waits until the port has just been opened, so that the instrument may speak: a port on which nothing comes for two seconds is
 * closed and opened again, and opening drops what lay in it. An opening that a busy machine shows too late is let pass.
 */
async function justOpened(before: number): Promise<void> {
  let openings = before
  for (;;) {
    let lastClosedMs = performance.now()
    await until('the port is open', () => {
      const lookedMs = performance.now()
      const isOpen = isOpenAnew(openings)()
      if (!isOpen) lastClosedMs = lookedMs
      return isOpen
    })
    if (performance.now() - lastClosedMs < 700) return
    await until('the silent port is closed', () => links().at(-1) !== 'open')
    openings = opened()
  }
}
/** Everything that came is stored, and nothing more comes: so many looks in a row find nothing new and nothing waiting. */
function allStored(address: string): () => Promise<boolean> {
  const looks = 15
  let before = ''
  let alike = 0
  return async () => {
    const metrics = await (await fetch(`${address}/metrics`)).text()
    const counters = metrics.match(/^flueledger_(lines|inputs_waiting)\b.*$/gm)?.join(' ') ?? ''
    const now = `${counters} ${read((reader) => reader.extent().lastSequence)}`
    alike = now === before && /inputs_waiting 0\b/.test(counters) ? alike + 1 : 0
    before = now
    return alike >= looks
  }
}

const seen = {
  beforeKill: { newestMs: Number.NaN, alarms: [] as AlarmTransition[], lastInputMs: Number.NaN },
  resumedSaid: '',
  shelved: 0,
  acknowledged: 0,
  stopped: { status: null as number | string | null, ms: Number.NaN },
  simulated: '',
}
let verified: Outcome
let replayed: [Outcome, Outcome]

beforeAll(async () => {
  const simulate = ['simulate', '--scenario', 'rough-night', '--speed', String(speed)]
  const made = await flueledger(...simulate, '--station-file', '--to', `serial:${cable.station}`)
  const station = JSON.parse(made.out)
  expect(station).toMatchObject({ clock: { speed }, streams: [{ timeFrom: 'line' }] })
  for (const limit of station.limits) if (limit.id === 'co-reading') limit.onDelaySeconds = onDelaySeconds
  writeFileSync(stationFile, JSON.stringify(station, null, 2))

  await cable.plug()
  const serve = (): Running => new Running('serve', '--station', stationFile, '--data', data, '--port', '0')
  const begun = async () => {
    const station = serve()
    const at = await station.address()
    // What an instrument sends before anybody listens is lost as on any serial line: opening a port drops what lay in it.
    await justOpened(0)
    const instrument = new Running(...simulate, '--to', `serial:${cable.instrument}`, '--truth', truthFile)
    await until('the instrument has started', async () => {
      if (existsSync(truthFile)) return true
      await cable.sends('\n') // An empty line: a port on which nothing comes for two seconds is opened anew.
      return false
    })
    await until('the first line is stored', () => !Number.isNaN(newestMs()))
    if (opened() === 1) return { station, at, instrument }
    // The machine took so long to start the instrument that the silent port was opened anew, perhaps amid its first lines.
    await Promise.all([instrument.stop('SIGKILL'), station.stop('SIGKILL')])
    for (const gone of [data, truthFile]) rmSync(gone, { recursive: true, force: true })
    return null
  }
  let night = await begun()
  while (night === null) night = await begun()
  let { station: running, at: address } = night
  const simulator = night.instrument

  // Killed while the on-delay of the gas limit runs. The instrument holds its breath meanwhile: what a process had in hand and
  // not yet stored (at most 250 ms) goes with it, and no truth of an instrument can tell of that.
  await until('the on-delay runs', () => newestMs() >= atMinute(78))
  simulator.signal('SIGSTOP')
  await until('all is stored', allStored(address))
  seen.beforeKill = {
    newestMs: newestMs(),
    alarms: alarms(),
    lastInputMs: read((reader) => reader.extent().lastMs) ?? Number.NaN,
  }
  await running.stop('SIGKILL')
  const openedBeforeKill = opened()
  running = serve()
  address = await running.address()
  await justOpened(openedBeforeKill)
  simulator.signal('SIGCONT')
  seen.resumedSaid = running.err

  await until('the limit alarm is raised', raised('limit:co-reading'))
  const shelve = {
    do: 'shelve',
    by: 'M. Example',
    alarm: 'limit:co-reading',
    minutes: shelfMinutes,
    note: 'burner is being set',
  }
  seen.shelved = (await post(address, '/api/actions', shelve)).status
  await until('the condensate alarm is raised', raised('health:condensate:main'))
  const acknowledge = {
    do: 'acknowledge',
    by: 'M. Example',
    alarm: 'health:condensate:main',
    note: 'trap is being emptied',
  }
  seen.acknowledged = (await post(address, '/api/actions', acknowledge)).status

  await until('a stretch without mishaps has come', () => newestMs() >= atMinute(255))
  const openedBeforePull = opened()
  await cable.pull()
  simulator.signal('SIGSTOP')
  await until('the loss is recorded', () => links().includes('lost'))
  await cable.plug()
  await justOpened(openedBeforePull)
  simulator.signal('SIGCONT')

  await until('the night is over', () => simulator.ended !== null)
  seen.simulated = `${simulator.ended} ${simulator.err}`
  await until('all is stored', allStored(address))
  seen.stopped = await running.stop('SIGTERM')
  const told = (verb: string): Promise<Outcome> => flueledger(verb, recording(), '--json')
  const [first, second, third] = await Promise.all([told('verify'), told('replay'), told('replay')])
  verified = first
  replayed = [second, third]
})
afterAll(async () => {
  await endAll()
  await cable.throwAway()
  rmSync(folder, { recursive: true, force: true })
})

interface TruthLine {
  readonly kind: string
  readonly sent: boolean | 'unknown'
  readonly at: string
  readonly text?: string
  readonly base64?: string
  /** Of the header and of summaries. */
  readonly cells?: unknown
  readonly start?: string
}
async function* truth(): AsyncGenerator<TruthLine> {
  for await (const text of createInterface({ input: createReadStream(truthFile) })) yield JSON.parse(text)
}

test('the night ends in order: the simulator by itself, the station at SIGTERM with status 0 within 5 s', () => {
  expect(seen.simulated).toMatch(/^0 /)
  expect(seen.stopped.status).toBe(0)
  expect(seen.stopped.ms).toBeLessThan(5000)
})

test('one run in one recording: killed, resumed by itself, its time running on', () => {
  expect(readdirSync(data).filter((name) => name.endsWith('.sqlite'))).toHaveLength(1)
  expect(seen.resumedSaid).toMatch(/goes on with the run in/)
  const changes = read((reader) => reader.changes())
  expect(changes.flatMap((event) => (event.kind === 'run' ? [`${event.change} ${event.reason}`] : []))).toEqual([
    'start at-once',
    'resume killed',
    'suspend orderly-stop',
  ])
  const resumed = changes.find((event) => event.kind === 'run' && event.change === 'resume')
  expect(resumed?.atMs).toBeGreaterThanOrEqual(seen.beforeKill.lastInputMs)
})

test('the line that was unplugged is told as lost and opens again', () => {
  const told = links().join(' ')
  expect(told).toMatch(/\bopen lost (refused )*open\b/)
})

test('every line that the truth calls sent is in the recording', async () => {
  const recorded: Buffer[] = []
  read((reader) => {
    for (const event of reader.inputs()) if (event.kind === 'line') recorded.push(Buffer.from(event.bytes))
  })
  // The stored bytes of a stream, one after the other: a line may have been stored in pieces.
  const all = Buffer.concat(recorded)
  const missing: string[] = []
  let from = 0
  let sent = 0
  for await (const line of truth()) {
    if (line.kind !== 'line' || line.sent !== true) continue
    sent++
    const bytes =
      line.base64 === undefined ? Buffer.from(line.text ?? '', 'latin1') : Buffer.from(line.base64, 'base64')
    const found = all.indexOf(bytes, from)
    if (found < 0) missing.push(`${line.at} ${bytes.toString('latin1')}`)
    else from = found + bytes.length
  }
  expect(missing).toEqual([])
  expect(sent).toBeGreaterThan(34_000)
})

test('a kill within the on-delay neither raises the limit alarm early nor late', () => {
  const [first] = alarms().filter(({ alarm }) => alarm === 'limit:co-reading')
  expect(seen.beforeKill.alarms.filter(({ alarm }) => alarm === 'limit:co-reading')).toEqual([])
  expect(first).toMatchObject({ input: 'enter', from: 'normal', to: 'raised' })
  // The excursion begins at minute 70 and rises over 5 minutes: the limit is passed for good in this time.
  const passedMs = (first?.atMs ?? 0) - onDelaySeconds * 1000
  expect(passedMs).toBeGreaterThan(atMinute(70))
  expect(passedMs).toBeLessThan(atMinute(75))
  expect(seen.beforeKill.newestMs).toBeGreaterThan(passedMs)
  expect(seen.beforeKill.newestMs).toBeLessThan(first?.atMs ?? 0)
})

test('a shelved alarm comes off its shelf, and the condensate alarm is acknowledged, each with its name', () => {
  expect([seen.shelved, seen.acknowledged]).toEqual([200, 200])
  const of = (alarm: string) => alarms().filter((transition) => transition.alarm === alarm)
  const co = of('limit:co-reading')
  const shelved = co.findIndex(({ input }) => input === 'shelve')
  expect(co[shelved]).toMatchObject({ to: 'shelved', by: 'M. Example', note: 'burner is being set' })
  expect(co.slice(shelved + 1).find(({ input }) => input === 'shelf-expired')).toMatchObject({ from: 'shelved' })
  expect(of('health:condensate:main').map(({ input, by }) => [input, by])).toEqual(
    expect.arrayContaining([
      ['enter', null],
      ['acknowledge', 'M. Example'],
      ['leave', null],
    ]),
  )
})

test('verify passes: seals, order and recomputation', () => {
  expect(verified.status, verified.out).toBe(0)
  expect(JSON.parse(verified.out)).toMatchObject({
    ok: true,
    seals: { ok: true, faults: [] },
    order: { ok: true, faults: [] },
    recomputation: { ok: true, faults: [] },
  })
})

test('a replay gives the same text twice, the stored averages and the stored list of alarms', () => {
  const [once, again] = replayed
  expect(once.status).toBe(0)
  expect(again.out === once.out).toBe(true)
  const answer = JSON.parse(once.out) as Record<'blocks' | 'rolling', AverageRow[]> & { alarms: AlarmTransition[] }
  const byKey = (rows: readonly AverageRow[]) =>
    Object.fromEntries(rows.map((row) => [averageKey(row), JSON.stringify(row)]))
  const stored = read((reader) => ({ blocks: byKey(reader.blocks()), rolling: byKey(reader.rolling()) }))
  expect(Object.keys(stored.blocks).length).toBeGreaterThan(10_000)
  expect({ blocks: byKey(answer.blocks), rolling: byKey(answer.rolling) }).toEqual(stored)
  expect(answer.alarms).toEqual(alarms())
})

test('verify finds a line whose bytes were changed, and says where', async () => {
  const copy = join(folder, 'tampered.flue.sqlite')
  copyFileSync(recording(), copy)
  const db = new Database(copy)
  const { sequence, bytes } = db
    .prepare("SELECT sequence, bytes FROM line WHERE piece = 'whole' ORDER BY sequence LIMIT 1 OFFSET 9000")
    .get() as { sequence: number; bytes: Buffer }
  const forged = Buffer.from(bytes.toString('latin1').replace(/co=\d/, 'co=0'), 'latin1')
  expect(forged.equals(bytes)).toBe(false)
  db.prepare('UPDATE line SET bytes = ? WHERE sequence = ?').run(forged, sequence)
  const seal = db
    .prepare(
      'SELECT first_sequence AS first, last_sequence AS last FROM seal WHERE ? BETWEEN first_sequence AND last_sequence',
    )
    .get(sequence) as { first: number; last: number }
  db.close()
  const { status, out } = await flueledger('verify', copy, '--json')
  const answer = JSON.parse(out)
  expect(status).toBe(1)
  expect(answer.ok).toBe(false)
  expect(answer.seals.ok).toBe(false)
  expect(answer.seals.faults.join('\n')).toMatch(new RegExp(`\\b${seal.first}\\b.*\\b${seal.last}\\b`))
})

interface CellTruth {
  readonly species: string
  readonly statedError: { readonly absolute: number; readonly relative: number }
}
interface Summary {
  readonly start: string
  readonly cells: readonly { readonly species: string; readonly count: number; readonly meanAtCells: number | null }[]
}

/*
 * The truth: the gas before each cell, after in-leak, delay and response, in the readings that count (`meanAtCells`); what leaks in
 * or lags is an error of sampling, not of the cell. Tolerance: `statedError` of the truth’s header, the larger of its absolute and
 * relative part: the scenario’s declared bound for a settled mean whose zero was subtracted. It covers what is drawn for each cell:
 * span (uniform, 1 % for O2, 1.5 % CO and NO, 2 % SO2, 3 % NO2), drift and wander of the zero over one purge cycle (below 0.5 ppm),
 * what the papers of the SO2 cell leave open (0.75 ± 0.15 ppm per ppm NO2; the station takes the middle out) and the water that passes the cooler (0.8 vol% at 4 degC).
 */
const halfHourOf = (ms: number): number => Math.floor(ms / 1_800_000) * 1_800_000

test('the exported half-hours agree with the truth within the stated errors of the cells', async () => {
  const out = join(folder, 'exported')
  const exported = await flueledger('export', recording(), '--format', 'csv', '--out', out)
  expect(exported.status, exported.err).toBe(0)
  const [head = '', ...rows] = readFileSync(join(out, 'blocks.csv'), 'utf8').trimEnd().split('\n')
  const columns = head.split(',')
  const cell = (row: string, name: string): string =>
    (row.match(/("[^"]*"|[^,]*)(,|$)/g) ?? [])[columns.indexOf(name)]?.replace(/,$/, '') ?? ''
  let stated: readonly CellTruth[] = []
  const summaries = new Map<number, Summary>()
  /** Half-hours with lines of which nobody knows whether they came: how many the pulled cable took depends on the machine. */
  const cutShort = new Set<number>()
  for await (const line of truth()) {
    if (line.kind === 'line' && line.sent === 'unknown') cutShort.add(halfHourOf(Date.parse(line.at)))
    if (line.kind === 'header') stated = line.cells as readonly CellTruth[]
    if (line.kind === 'summary') summaries.set(Date.parse(line.start ?? ''), line as unknown as Summary)
  }
  const compared: Record<string, number> = {}
  const off: string[] = []
  for (const row of rows) {
    const [channel, quantity] = [cell(row, 'channel'), cell(row, 'quantity')]
    // The oxygen cell sets itself to air; the others are read by what the last purge left of their zero.
    if (
      cell(row, 'average') !== 'PT30M' ||
      cell(row, 'valid') !== 'true' ||
      quantity !== (channel === 'o2' ? 'as_read' : 'drift_corrected')
    )
      continue
    const error = stated.find(({ species }) => species === channel.toUpperCase())?.statedError
    const start = Date.parse(cell(row, 'start'))
    const mean = summaries.get(start)?.cells.find(({ species }) => species === channel.toUpperCase())?.meanAtCells
    if (!error || mean === undefined || mean === null || cutShort.has(start)) continue
    compared[channel] = (compared[channel] ?? 0) + 1
    const difference = Number(cell(row, 'mean')) - mean
    const allowed = Math.max(error.absolute, error.relative * Math.abs(mean))
    if (!(Math.abs(difference) <= allowed))
      off.push(`${channel} ${cell(row, 'start')}: ${cell(row, 'mean')} against ${mean}, ±${allowed}`)
  }
  expect(Object.keys(compared).sort()).toEqual(['co', 'no', 'no2', 'o2', 'so2'])
  for (const count of Object.values(compared)) expect(count).toBeGreaterThanOrEqual(10)
  expect(off).toEqual([])
  // One pull of the cable, near the edge of a half-hour perhaps.
  expect(cutShort.size).toBeLessThanOrEqual(2)
})
