import { once } from 'node:events'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { WebSocket } from 'ws'
import { usualRhythm } from '../../../server/http/viewer.ts'
import { aLongEntry, aReading, HandFeed, knownRecording } from '../../support/a-face.ts'
import { heldBytes } from '../../support/held-bytes.ts'
import { type HttpStation, httpStation } from '../../support/http-station.ts'

const stations: HttpStation[] = []
afterEach(() => Promise.all(stations.splice(0).map((station) => station.close())))
const running = async (...settings: Parameters<typeof httpStation>) => {
  const station = await httpStation(...settings)
  stations.push(station)
  return station
}
const live = (station: HttpStation): HandFeed => station.feeds.at(-1)!

test('a viewer gets the picture first, then increments whose numbers go up by one', async () => {
  const station = await running()
  const { heard } = await station.watch()
  for (let lines = 1; lines <= 5; lines++) live(station).tell(aReading(lines))
  await vi.waitFor(() => expect(heard).toHaveLength(6), { timeout: 20_000 })
  expect(heard.map(({ type, sequence }) => [type, sequence])).toEqual([
    ['snapshot', 0],
    ['reading', 1],
    ['reading', 2],
    ['reading', 3],
    ['reading', 4],
    ['reading', 5],
  ])
})

test('each viewer has numbers of its own, from one feed that ends with the last of them', async () => {
  const station = await running()
  const first = await station.watch()
  live(station).tell(aReading(1))
  const second = await station.watch()
  live(station).tell(aReading(2))
  await vi.waitFor(() => expect([first.heard.length, second.heard.length]).toEqual([3, 2]), { timeout: 20_000 })
  expect([first.heard, second.heard].map((heard) => heard.map(({ sequence }) => sequence))).toEqual([
    [0, 1, 2],
    [0, 1],
  ])
  expect(station.feeds).toHaveLength(1)
  first.socket.close()
  await once(first.socket, 'close')
  expect(live(station).isClosed).toBe(false)
  second.socket.close()
  await vi.waitFor(() => expect(live(station).isClosed).toBe(true), { timeout: 20_000 })
  expect(live(station).followers).toBe(0)
  await station.watch()
  expect(station.feeds).toHaveLength(2)
})

test('an increment is written out once, whoever many look on', async () => {
  const station = await running()
  const viewers = await Promise.all([1, 2, 3, 4, 5].map(() => station.watch()))
  const written = vi.fn(() => aReading(1))
  live(station).tell(Object.assign(aReading(1), { toJSON: written }))
  await vi.waitFor(() => expect(viewers.map(({ heard }) => heard.at(-1)?.type)).toEqual(Array(5).fill('reading')), {
    timeout: 20_000,
  })
  expect(written).toHaveBeenCalledTimes(1)
})

test('a viewer that missed some asks again and gets the picture at the number it stands at', async () => {
  const station = await running()
  const { socket, heard } = await station.watch()
  live(station).tell(aReading(1))
  socket.send(JSON.stringify({ type: 'resync', lastSequence: 0 }))
  await vi.waitFor(() => expect(heard).toHaveLength(3), { timeout: 20_000 })
  live(station).tell(aReading(2))
  await vi.waitFor(() => expect(heard).toHaveLength(4), { timeout: 20_000 })
  expect(heard.map(({ type, sequence }) => [type, sequence])).toEqual([
    ['snapshot', 0],
    ['reading', 1],
    ['snapshot', 1],
    ['reading', 2],
  ])
  expect(live(station).controls).toEqual([])
})

test('a viewer that asks over and over gets the picture once in a while, and at the end', async () => {
  const station = await running()
  const since = performance.now()
  const { socket, heard } = await station.watch()
  for (let asked = 0; asked < 1000; asked++) socket.send('{"type":"resync","lastSequence":0}')
  socket.ping()
  await once(socket, 'pong') // All have been read by now.
  live(station).tell(aReading(1))
  await vi.waitFor(() => expect(heard.at(-1)).toMatchObject({ type: 'snapshot', sequence: 1 }), { timeout: 20_000 })
  // Each quarter of a second at most, beside the first picture, the reading and the last one, however long a busy machine took.
  expect(heard.length).toBeLessThanOrEqual(4 + (performance.now() - since) / 250)
})

describe('what a viewer sends', () => {
  test.each([
    ['no JSON', '{"type":', 1007],
    ['no object', '"resync"', 1007],
    ['a message with a wrong value', '{"type":"play","speed":-1}', 1007],
    ['a message with a value too many', '{"type":"pause","now":true}', 1007],
    ['thirty thousand levels', '['.repeat(30_000) + ']'.repeat(30_000), 1007],
    ['bytes', Buffer.from([0, 159, 146, 150]), 1007],
    ['more than 64 kB', `{"type":"${'x'.repeat(65_536)}"}`, 1009],
  ])('%s ends this line, not that of others', async (_, text, expected) => {
    const station = await running()
    const { socket } = await station.watch()
    const other = await station.watch()
    socket.send(text)
    const [code] = await once(socket, 'close')
    expect(code).toBe(expected)
    live(station).tell(aReading(1))
    await vi.waitFor(() => expect(other.heard.at(-1)?.type).toBe('reading'), { timeout: 20_000 })
  })

  test('64 MB in one frame is cut at its header', async () => {
    const station = await running()
    const socket = await station.neverReading()
    let answer = Buffer.alloc(0)
    socket.on('data', (bytes) => {
      answer = Buffer.concat([answer, bytes])
    })
    const header = Buffer.from([0x82, 0xff, 0, 0, 0, 0, 0x04, 0, 0, 0, 1, 2, 3, 4]) // 2^26 bytes, masked: RFC 6455, 5.2.
    socket.write(header)
    await vi.waitFor(() => expect(answer.subarray(-4)).toEqual(Buffer.from([0x88, 2, 1009 >> 8, 1009 & 255])), {
      timeout: 20_000,
    })
  })

  test('a type that only a newer page knows is passed over', async () => {
    const station = await running()
    const { socket, heard } = await station.watch()
    socket.send('{"type":"dim-the-lights","by":3}')
    socket.send('{"type":"resync","lastSequence":0}')
    await vi.waitFor(() => expect(heard).toHaveLength(2), { timeout: 20_000 })
    expect(socket.readyState).toBe(socket.OPEN)
  })
})

describe('a viewer that does not keep up', () => {
  const told = 3000
  const bytes = 8192 // 24 MB in all: more than the system's own buffers take.
  /** `taken`: how many a viewer that keeps up has; it is waited for every so often, since it shares this test's thread. */
  const tellMany = async (station: HttpStation, taken: (told: number) => boolean = () => true) => {
    for (let id = 0; id < told; id++) {
      live(station).tell(aLongEntry(id, bytes))
      if (id % 20 > 0) continue
      do await new Promise(setImmediate)
      while (!taken(id + 1))
    }
  }

  test('is told how much it missed and given the whole picture once it reads again; no number is left out', async () => {
    const station = await running()
    const { socket, heard } = await station.watch()
    const other = await station.watch()
    socket.pause()
    await tellMany(station, (count) => other.heard.length > count)
    expect(await station.metric('flueledger_increments_skipped_total')).toBeGreaterThan(0)
    socket.resume()
    await vi.waitFor(() => expect(heard.slice(-2).map(({ type }) => type)).toEqual(['merged', 'snapshot']), 5000)
    live(station).tell(aReading(1))
    await vi.waitFor(() => expect(heard.at(-1)?.type).toBe('reading'), { timeout: 20_000 })

    const merged = heard.filter((message) => message.type === 'merged')
    const entries = heard.filter(({ type }) => type === 'logbook')
    expect(merged.length).toBeGreaterThan(0)
    expect(entries.length + merged.reduce((sum, { skipped }) => sum + skipped, 0)).toBe(told)
    const numbers = heard.filter(({ type }) => type !== 'snapshot').map(({ sequence }) => sequence)
    expect(numbers).toEqual(numbers.map((_, index) => index + 1))
    const last = heard.findLastIndex(({ type }) => type === 'snapshot')
    expect([heard[last - 1]?.type, heard[last - 1]?.sequence]).toEqual(['merged', heard[last]?.sequence])
    await vi.waitFor(() => expect(other.heard.filter(({ type }) => type === 'logbook')).toHaveLength(told), {
      timeout: 20_000,
    })
    expect(other.heard.filter(({ type }) => type === 'merged')).toEqual([])
  })

  test('but only takes long over a large picture misses nothing for that', async () => {
    const feed = new HandFeed('live')
    const picture = feed.snapshot()
    feed.snapshot = () => ({ ...picture, warnings: ['x'.repeat(24_000_000)] })
    const station = await running({ live: () => feed })
    const { socket, heard } = await station.watch()
    socket.pause()
    for (let lines = 1; lines <= 3; lines++) feed.tell(aReading(lines))
    expect(heard).toEqual([])
    socket.resume()
    await vi.waitFor(() => expect(heard).toHaveLength(4), 5000)
    expect(heard.map(({ type, sequence }) => [type, sequence])).toEqual([
      ['snapshot', 0],
      ['reading', 1],
      ['reading', 2],
      ['reading', 3],
    ])
  })

  // 20 such clients, at most 20 MB more: the fault catalogue's bound; the bound of one is 256 kB plus a snapshot.
  test('does not make the station’s memory grow, nor do twenty of them', async () => {
    const station = await running()
    const unread = await Promise.all(Array.from({ length: 20 }, () => station.neverReading()))
    await tellMany(station)
    const before = await heldBytes()
    await tellMany(station)
    const grown = (await heldBytes(before + 2_000_000)) - before
    expect(await station.metric('flueledger_increments_skipped_total')).toBeGreaterThan(20 * told)
    expect(unread.filter(({ destroyed }) => destroyed)).toEqual([])
    expect(grown).toBeLessThan(2_000_000)
    expect(before - baseline).toBeLessThan(20_000_000)
  }, 20_000)

  test('and sends signs of life without reading is let go after a while without progress', async () => {
    const station = await running({}, { rhythm: { ...usualRhythm, pingEveryMs: 20, stuckAfterMs: 200 } })
    const socket = await station.neverReading()
    const pongs = setInterval(() => socket.write(Buffer.from([0x8a, 0x80, 0, 0, 0, 0])), 5) // Empty masked pong, RFC 6455, 5.5.3.
    await tellMany(station)
    await vi.waitFor(() => expect(live(station).isClosed).toBe(true), 5000)
    clearInterval(pongs)
    expect(await station.metric('flueledger_viewers')).toBe(0)
  })

  test('and pings without reading does not fill the memory with answers', async () => {
    const station = await running()
    const socket = await station.neverReading()
    await tellMany(station)
    const before = await heldBytes()
    const ping = Buffer.concat([Buffer.from([0x89, 0xfd, 0, 0, 0, 0]), Buffer.alloc(125)]) // Masked ping with 125 bytes, RFC 6455, 5.5.2.
    const pings = Buffer.concat(Array.from({ length: 1000 }, () => ping))
    for (let sent = 0; sent < 160; sent++) {
      if (!socket.write(pings)) await once(socket, 'drain')
    }
    expect((await heldBytes(before + 5_000_000)) - before).toBeLessThan(5_000_000) // 160 000 answers would be 20 MB.
  }, 20_000)
})

describe('a line without a sign of life', () => {
  test('is let go after two pings without an answer', async () => {
    const station = await running({}, { rhythm: { ...usualRhythm, pingEveryMs: 20 } })
    const { socket } = await station.watch('/api/live', { autoPong: false })
    let pings = 0
    socket.on('ping', () => {
      pings += 1
    })
    const [code] = await once(socket, 'close')
    expect([code, pings]).toEqual([1006, 2])
  })

  test('is kept for as long as the pings are answered', async () => {
    const station = await running({}, { rhythm: { ...usualRhythm, pingEveryMs: 20 } })
    const { socket } = await station.watch()
    for (let pings = 0; pings < 8; pings++) await once(socket, 'ping')
    expect(socket.readyState).toBe(socket.OPEN)
  })
})

describe('a playback', () => {
  const path = `/api/live?replay=${knownRecording}`

  test('has a feed of its own, obeys its viewer, and ends when the viewer leaves', async () => {
    const station = await running()
    const { socket, heard } = await station.watch(path)
    const { socket: second } = await station.watch(path)
    await vi.waitFor(() => expect(heard[0]).toMatchObject({ type: 'snapshot', mode: 'replay' }), { timeout: 20_000 })
    const [feed, other] = station.feeds
    socket.send('{"type":"pause"}')
    socket.send('{"type":"play","speed":60}')
    await vi.waitFor(() => expect(feed?.controls).toEqual([{ type: 'pause' }, { type: 'play', speed: 60 }]), {
      timeout: 20_000,
    })
    expect(other?.controls).toEqual([])
    socket.terminate()
    await vi.waitFor(() => expect([feed?.isClosed, feed?.followers, other?.isClosed]).toEqual([true, 0, false]), {
      timeout: 20_000,
    })
    expect(await station.metric('flueledger_playbacks')).toBe(1)
    second.terminate()
    await vi.waitFor(() => expect(other?.isClosed).toBe(true), { timeout: 20_000 })
  })

  test('shows the whole picture once a seek is through', async () => {
    const station = await running()
    const { socket, heard } = await station.watch(path)
    socket.send('{"type":"seek","atMs":1000}')
    await vi.waitFor(() => expect(live(station).controls).toEqual([{ type: 'seek', atMs: 1000 }]), { timeout: 20_000 })
    live(station).tell(aReading(1))
    live(station).renew()
    await vi.waitFor(
      () =>
        expect(heard.map(({ type, sequence }) => [type, sequence])).toEqual([
          ['snapshot', 0],
          ['reading', 1],
          ['snapshot', 1],
        ]),
      { timeout: 20_000 },
    )
  })

  test.each(['no-such-night', '../secret', '', 'a'.repeat(5000)])(
    'of %j, which is no recording, is refused',
    async (id) => {
      const station = await running()
      expect(await station.refusedUpgrade(`/api/live?replay=${encodeURIComponent(id)}`, {})).toBe(404)
      expect(await station.metric('flueledger_playbacks')).toBe(0)
    },
  )

  test('is closed when the handshake fails', async () => {
    const station = await running()
    const headers = {
      connection: 'Upgrade',
      upgrade: 'websocket',
      'sec-websocket-version': '13',
      'sec-websocket-key': 'short',
    }
    expect((await station.ask(path, { headers })).status).toBe(400)
    await vi.waitFor(() => expect(live(station).isClosed).toBe(true), { timeout: 20_000 })
    expect(await station.metric('flueledger_playbacks')).toBe(0)
  })

  test('is told that its viewer left while it was being opened, and is counted no longer', async () => {
    const feed = new HandFeed('replay')
    let signal: AbortSignal | null = null
    const station = await running({
      replay: (_, gone) => {
        signal = gone
        return new Promise((resolve) => gone.addEventListener('abort', () => resolve(feed)))
      },
    })
    const socket = new WebSocket(`ws://${station.host}${path}`)
    socket.on('error', () => {})
    await vi.waitFor(() => expect(signal).not.toBeNull(), { timeout: 20_000 })
    expect(await station.metric('flueledger_playbacks')).toBe(1)
    socket.terminate()
    await vi.waitFor(() => expect([signal?.aborted, feed.isClosed]).toEqual([true, true]), { timeout: 20_000 })
    expect(await station.metric('flueledger_playbacks')).toBe(0)
  })

  test('is closed when the viewer left while it was being opened', async () => {
    const feed = new HandFeed('replay')
    let opened: (feed: HandFeed | null) => void = () => {}
    let isAsked = false
    const station = await running({
      replay: () => {
        isAsked = true
        return new Promise((resolve) => {
          opened = resolve
        })
      },
    })
    const left = station.watch(path).catch(() => {})
    await vi.waitFor(() => expect(isAsked).toBe(true), { timeout: 20_000 })
    await station.http.close()
    opened(feed)
    await vi.waitFor(() => expect(feed.isClosed).toBe(true), { timeout: 20_000 })
    void left
  })

  test('that cannot be opened is a defect told with 500, and logged', async () => {
    const station = await running({ replay: () => Promise.reject(new Error('worker gone')) })
    expect(await station.refusedUpgrade(path, {})).toBe(500)
    expect(station.logged).toEqual(['hub: "Error: worker gone"'])
  })

  test('more than eight at once is refused', async () => {
    const station = await running()
    await Promise.all(Array.from({ length: 8 }, () => station.watch(path)))
    expect(await station.refusedUpgrade(path, {})).toBe(503)
  })
})

test('a hundred viewers can look on, one more is refused', async () => {
  const station = await running()
  await Promise.all(Array.from({ length: 100 }, () => station.watch()))
  expect(await station.refusedUpgrade('/api/live', {})).toBe(503)
})

test('a picture that cannot be formed costs the viewer its line, not the station its life', async () => {
  const feed = new HandFeed('live')
  feed.snapshot = () => {
    throw new Error('no picture')
  }
  const station = await running({ live: () => feed })
  const { socket } = await station.watch()
  const [code] = await once(socket, 'close')
  expect(code).toBe(1011)
  expect(station.logged).toEqual(['hub: "Error: no picture"'])
  expect((await station.ask('/healthz')).status).toBe(200)
})

test.each([
  ['/api/lives', 404],
  ['/', 404],
  ['/api/live?replay=x&speed=2', 400],
])('a WebSocket asked for at %s is refused with %i', async (path, status) => {
  const station = await running()
  expect(await station.refusedUpgrade(path, {})).toBe(status)
})

const baseline = await heldBytes()
