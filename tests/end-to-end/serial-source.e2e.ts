import { execFileSync, spawn } from 'node:child_process'
import { existsSync, renameSync, symlinkSync } from 'node:fs'
import { open } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, describe, expect, test } from 'vitest'
import { stationClock } from '../../server/clock.ts'
import { type SerialOptions, type SerialSettings, serial } from '../../server/sources/serial.ts'
import { HeardSource } from '../support/heard-source.ts'
import { heldBytes } from '../support/held-bytes.ts'
import { Cable } from '../support/pty-pair.ts'

const stops: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const stop of stops.splice(0).reverse()) await stop()
})

async function plugged(): Promise<Cable> {
  const cable = new Cable()
  stops.push(() => cable.throwAway())
  await cable.plug()
  return cable
}

function listenAt(
  path: string,
  more: Partial<SerialOptions> = {},
  settings: Partial<SerialSettings> = {},
): HeardSource {
  const heard = new HeardSource(
    serial(
      {
        kind: 'serial',
        path,
        baudRate: 9600,
        dataBits: 8,
        parity: 'none',
        stopBits: 1,
        flowControl: 'none',
        lineEnd: 'auto',
        ...settings,
      },
      { name: 'main', clock: stationClock(), freshness: { expectEverySeconds: 1 }, ...more },
    ),
  )
  stops.push(() => heard.close())
  return heard
}
const isOpen = (heard: HeardSource, times = 1): Promise<void> =>
  heard.until(() => heard.states.filter((state) => state === 'open').length >= times, `it is open (${times})`)
const lines = (heard: HeardSource, count: number): Promise<void> =>
  heard.until(() => heard.lines.length >= count, `${count} lines came`)

test('lines come byte by byte as the instrument sent them, the first marked', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station)
  await isOpen(heard)
  await cable.sends('8.1;11')
  await cable.sends('2;\xb0C\r\n\0\xff\n')
  await lines(heard, 2)
  expect(heard.pieces).toEqual(['first:8.1;112;\xb0C\r\n', 'whole:\0\xff\n'])
  expect(heard.links[0]?.detail).toBe(`${cable.station} (${cable.device}) is open`)
})

test('an adapter that is unplugged is told within a second, and streams again within five of its return', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station)
  await isOpen(heard)
  await cable.sends('1;2\n12.5;99')
  await heard.until(() => heard.lines.length === 1, 'the first line came')
  const pulled = performance.now()
  await cable.pull()
  await heard.until(() => heard.states.includes('lost'), 'the loss was told')
  expect(performance.now() - pulled).toBeLessThan(1000)
  expect(heard.links.at(-1)?.detail).toMatch(/went away.*check the plug/)

  await heard.until(() => heard.links.filter((link) => link.state === 'refused').length >= 2, 'attempts failed')
  expect(heard.links.at(-1)?.detail).toMatch(/is not there; check that the adapter is plugged in/)
  const back = performance.now()
  await cable.plug()
  await isOpen(heard, 2)
  console.info(`open again ${Math.round(performance.now() - back)} ms after it was plugged in`)
  await cable.sends('7;8;9\n10;11\n')
  await lines(heard, 4)
  expect(performance.now() - back).toBeLessThan(5000)
  expect(heard.pieces).toEqual(['first:1;2\n', 'unended:12.5;99', 'first:7;8;9\n', 'whole:10;11\n'])
})

test('an adapter that comes back under another number, behind its stable name, is found although a stranger took the old one', async () => {
  const first = await plugged()
  const byId = join(first.folder, 'by-id')
  symlinkSync(first.device, byId)
  const heard = listenAt(byId)
  await isOpen(heard)
  const second = await plugged()
  symlinkSync(second.device, `${byId}.new`)
  const moved = performance.now()
  renameSync(`${byId}.new`, byId) // the old one stays plugged in, open and silent
  await isOpen(heard, 2)
  expect(performance.now() - moved).toBeLessThan(10_000)
  await second.sends('8.1\n')
  await lines(heard, 1)
  expect(heard.links.map((link) => link.state)).toEqual(['open', 'lost', 'open'])
  expect(heard.links[1]?.detail).toContain(`stands for another port now: ${second.device}`)
})

test('a port that stays open but mute is closed and opened again', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station, { freshness: { expectEverySeconds: 0.1, leastMs: 500 } })
  await heard.until(() => heard.states.includes('silent'), 'the silence was told')
  await isOpen(heard, 2)
  await cable.sends('8.1\n')
  await lines(heard, 1)
  expect(heard.pieces).toEqual(['first:8.1\n'])
})

describe('two openers', () => {
  test('the second is refused and told that this station has the port already', async () => {
    const cable = await plugged()
    await isOpen(listenAt(cable.station))
    const second = listenAt(cable.station)
    await second.until(() => second.states.includes('refused'), 'the refusal was told')
    expect(second.links[0]?.detail).toMatch(/in use by another stream of this station/)
  })

  test('a program that reads along without asking is named, since each gets only part', async () => {
    const cable = await plugged()
    const other = await open(cable.device, 'r+')
    stops.push(() => other.close())
    const reader = spawn('sleep', ['60'], { stdio: [other.fd, 'ignore', 'ignore'] })
    stops.push(async () => reader.kill())
    const heard = listenAt(cable.station)
    await isOpen(heard)
    expect(heard.links[0]?.detail).toMatch(new RegExp(`is open, but sleep \\(process ${reader.pid}\\) has it open too`))
  })

  test('a port locked by another process is refused with its name', async () => {
    const cable = await plugged()
    const locker = spawn(
      'flock',
      ['--exclusive', '--nonblock', cable.device, 'sh', '-c', 'echo locked; exec sleep 60'],
      { stdio: ['ignore', 'pipe', 'ignore'] },
    )
    stops.push(async () => locker.kill())
    await new Promise((resolve) => locker.stdout.once('data', resolve))
    const heard = listenAt(cable.station)
    await heard.until(() => heard.states.includes('refused'), 'the refusal was told')
    expect(heard.links[0]?.detail).toMatch(/is in use by (flock|sleep) \(process \d+\).*; end that program/)
  })
})

test('a file that is no serial port is refused with that reason', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.beside('notes.txt'))
  await heard.until(() => heard.states.includes('refused'), 'the refusal was told')
  expect(heard.links[0]?.detail).toMatch(/is not a serial port/)
})

test.skipIf(process.getuid?.() !== 0 || !existsSync('/usr/bin/setpriv'))(
  'without permission the text names the port and the group',
  async () => {
    const cable = await plugged()
    // As Debian has it; the pseudo-terminal is in the group of terminals, which may only write.
    execFileSync('chown', [':dialout', cable.device])
    execFileSync('chmod', ['660', cable.device])
    // As root everything may be opened: the binding is asked as another user.
    const script = `const {SerialPort}=require('serialport');new SerialPort({path:${JSON.stringify(cable.device)},baudRate:9600},(e)=>{console.log(e?e.message:'open');process.exit()})`
    const said = execFileSync(
      'setpriv',
      ['--reuid=65534', '--regid=65534', '--clear-groups', process.execPath, '-e', script],
      { encoding: 'utf8' },
    )
    const { openTrouble } = await import('../../server/sources/port-trouble.ts')
    const told = () => openTrouble(new Error(said.trim()), cable.device, 'the port')
    expect(await told()).toMatch(/^no permission to open the port; let this user into the group dialout/)
    execFileSync('chmod', ['600', cable.device])
    expect(await told()).toMatch(/^no permission to open the port: its own rights let in its owner alone/)
  },
)

test('a request reaches the instrument and its answer comes back', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station, { poll: { send: 'MEAS?\r', everySeconds: 0.2 } })
  expect(await cable.hears()).toMatch(/^MEAS\?\r/)
  await cable.sends('O2=8.1\n')
  await lines(heard, 1)
  expect(heard.pieces).toEqual(['first:O2=8.1\n'])
})

test('an instrument that takes no request is given up after two seconds and closing is not held up', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station, { freshness: { expectEverySeconds: 1, leastMs: 30_000 } })
  await isOpen(heard)
  const begin = performance.now()
  heard.source.send('x'.repeat(200_000)) // nobody reads: the pair takes some 36 KiB
  await heard.until(() => heard.states.includes('lost'), 'the loss was told')
  expect(performance.now() - begin).toBeLessThan(2500)
  expect(heard.links.at(-1)?.detail).toMatch(/took no request within 2 s/)
  const closing = performance.now()
  await heard.close()
  expect(performance.now() - closing).toBeLessThan(2500)
})

test('a burst of 10 000 lines loses none', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station)
  await isOpen(heard)
  const burst = Array.from(
    { length: 10_000 },
    (_, line) => `${line};8.1;112;35.5;20.9;1013;180.2;35.1;0.9;OK\r\n`,
  ).join('')
  // The processor's time: how long the burst takes by the clock is a matter of what else the machine does.
  const begin = process.cpuUsage()
  await cable.sends(burst)
  await lines(heard, 10_000)
  const { user, system } = process.cpuUsage(begin)
  const seconds = (user + system) / 1e6
  console.info(`${Math.round(10_000 / seconds)} lines per second of the processor through a pseudo-terminal`)
  expect(seconds).toBeLessThan(2)
  expect(heard.bytes.toString()).toBe(burst)
})

test('100 MB without a line end do not grow the process', async () => {
  const cable = await plugged()
  const heard = listenAt(cable.station)
  let bytes = 0
  heard.events.push = () => 0
  heard.lines.push = (line) => {
    bytes += line?.bytes.length ?? 0
    return 0
  }
  await isOpen(heard)
  const feeder = spawn('sh', ['-c', `head -c 100000000 /dev/zero | tr '\\0' x > ${cable.instrument}`], {
    stdio: 'ignore',
  })
  stops.push(async () => feeder.kill())
  const atLeast = async (most: number, enough?: number): Promise<{ held: number; rss: number }> => {
    await heard.until(() => bytes > most * 1e6 - 4096, `${most} MB came`)
    return { held: await heldBytes(enough), rss: process.memoryUsage().rss }
  }
  const allowed = 5_000_000
  const half = await atLeast(50)
  const whole = await atLeast(100, half.held + allowed)
  const megabytes = (bytesMore: number): number => Math.round(bytesMore / 1e5) / 10
  console.info(
    `the second 50 MB: ${megabytes(whole.held - half.held)} MB more held, RSS ${megabytes(whole.rss - half.rss)} MB more`,
  )
  expect(whole.held - half.held).toBeLessThan(allowed)
  // The system's own count, for what is held outside of the heap: it wavers by some MB with what other files of tests left in the process.
  expect(whole.rss - half.rss).toBeLessThan(15_000_000)
})
