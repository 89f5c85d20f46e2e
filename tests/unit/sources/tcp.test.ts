import { once } from 'node:events'
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net'
import { afterEach, expect, test } from 'vitest'
import { type TcpOptions, tcp } from '../../../server/sources/tcp.ts'
import { fastTime } from '../../support/fast-time.ts'
import { HeardSource } from '../../support/heard-source.ts'

const stops: (() => unknown)[] = []
afterEach(async () => {
  for (const stop of stops.splice(0).reverse()) await stop()
})

async function listening(
  onPeer: (socket: Socket, number: number) => void,
  port = 0,
): Promise<{ server: Server; port: number; sockets: Socket[] }> {
  const sockets: Socket[] = []
  const server = createServer((socket) => {
    sockets.push(socket)
    socket.on('error', () => {}) // the peer resets by design
    onPeer(socket, sockets.length)
  })
  server.listen(port, '127.0.0.1')
  await once(server, 'listening')
  stops.push(() => {
    for (const socket of sockets) socket.destroy()
    server.close()
  })
  return { server, port: (server.address() as AddressInfo).port, sockets }
}

function connectTo(port: number, more: Partial<TcpOptions> = {}): HeardSource {
  const source = tcp(
    { kind: 'tcp', host: '127.0.0.1', port, lineEnd: 'auto' },
    { name: 'main', ...fastTime(20), freshness: { expectEverySeconds: 1 }, jitter: () => 0, ...more },
  )
  const heard = new HeardSource(source)
  stops.push(() => heard.close())
  return heard
}

test('lines of a peer arrive with their terminators, the first marked', async () => {
  const { port } = await listening((socket) => socket.write('8.1;112\r\n8.2;110\r\n'))
  const heard = connectTo(port)
  await heard.until(() => heard.lines.length === 2, 'two lines came')
  expect(heard.pieces).toEqual(['first:8.1;112\r\n', 'whole:8.2;110\r\n'])
  expect(heard.links.map((link) => link.detail)).toEqual([`connected to 127.0.0.1:${port}`])
})

test('a connection reset in the middle of a line gives no half line to the next', async () => {
  const { port, sockets } = await listening((socket, number) =>
    socket.write(number === 1 ? '10;11\n12;1' : '20;21\n22;23\n'),
  )
  const heard = connectTo(port)
  await heard.until(() => heard.lines.length === 1, 'the first line came')
  sockets[0]?.resetAndDestroy()
  await heard.until(() => heard.lines.length === 4, 'the lines of the second connection came')
  expect(heard.pieces).toEqual(['first:10;11\n', 'unended:12;1', 'first:20;21\n', 'whole:22;23\n'])
  expect(heard.states).toEqual(['open', 'lost', 'open'])
  expect(heard.links[1]?.detail).toMatch(/broke \(read ECONNRESET\)/)
})

test('a peer that says goodbye is tried again', async () => {
  const { port, sockets } = await listening((socket) => socket.write('1\n'))
  const heard = connectTo(port)
  await heard.until(() => heard.lines.length === 1, 'a line came')
  sockets[0]?.end()
  await heard.until(() => heard.states.length === 3, 'it was open again')
  expect(heard.links[1]?.detail).toBe(`127.0.0.1:${port} ended the connection`)
})

test('a peer that goes silent without a goodbye is given up and called again', async () => {
  const { port, sockets } = await listening((socket, number) => socket.write(`${number}\n`))
  const heard = connectTo(port, { freshness: { expectEverySeconds: 0.01, leastMs: 4000 } })
  await heard.until(() => heard.lines.length === 2, 'the second connection gave a line')
  expect(heard.states.slice(0, 3)).toEqual(['open', 'silent', 'open'])
  expect(sockets[0]?.readableEnded || sockets[0]?.destroyed).toBe(true)
})

test('where nothing listens the text says what to check, and it is found once it does', async () => {
  const { server, port } = await listening(() => {})
  server.close()
  const heard = connectTo(port)
  await heard.until(() => heard.states.length === 1, 'the refusal was told')
  expect(heard.links[0]?.detail).toMatch(
    new RegExp(`^127.0.0.1:${port} refuses the connection; check that the instrument`),
  )
  await listening((socket) => socket.write('back\n'), port)
  await heard.until(() => heard.lines.length === 1, 'a line came')
  expect(heard.states.at(-1)).toBe('open')
})

test('a host that cannot be found is named', async () => {
  const source = tcp(
    { kind: 'tcp', host: 'analyser.invalid', port: 4001, lineEnd: 'auto' }, // RFC 2606: never resolves
    { name: 'main', ...fastTime(1), freshness: { expectEverySeconds: 1 }, jitter: () => 0 },
  )
  const heard = new HeardSource(source)
  stops.push(() => heard.close())
  await heard.until(() => heard.states.length === 1, 'the refusal was told')
  expect(heard.links[0]?.detail).toMatch(/name of analyser.invalid:4001 cannot be found/)
})

test('a request reaches the peer, and its answer the listener', async () => {
  const { port } = await listening((socket) =>
    socket.on('data', (asked) => socket.write(`${String(asked).trim()}=8.1\n`)),
  )
  const heard = connectTo(port, { poll: { send: 'O2\r', everySeconds: 1 } })
  await heard.until(() => heard.lines.length >= 3, 'three answers came')
  expect(heard.pieces.slice(0, 2)).toEqual(['first:O2=8.1\n', 'whole:O2=8.1\n'])
})

test('a burst of 10 000 lines is kept to the last byte', async () => {
  const burst = Array.from({ length: 10_000 }, (_, line) => `${line};8.1;112;35.5\r\n`).join('')
  const { port } = await listening((socket) => socket.write(burst))
  const heard = connectTo(port)
  await heard.until(() => heard.lines.length === 10_000, 'all lines came', 5000)
  expect(heard.bytes.toString()).toBe(burst)
})

test('closing ends the connection', async () => {
  const { port, sockets } = await listening((socket) => socket.write('1\n'))
  const heard = connectTo(port)
  await heard.until(() => heard.lines.length === 1, 'a line came')
  const peer = sockets[0]
  if (!peer) throw new Error('no peer')
  peer.resume()
  const ended = once(peer, 'close')
  await heard.close()
  await ended
})

test('who waits for the station gets a turn while a flood of lines comes', async () => {
  // Node asks for 64 KiB at a time, up to 32 times in a turn where that much lies ready.
  const line = '2026-11-20T18:00:00Z;20.71;0.9;0.6\n'
  const lines = 60_000
  const { port } = await listening((socket) => socket.write(line.repeat(lines)))
  const heard = connectTo(port)
  let [before, mostATurn] = [0, 0]
  let turn = setImmediate(function count() {
    mostATurn = Math.max(mostATurn, heard.lines.length - before)
    before = heard.lines.length
    turn = setImmediate(count)
  })
  stops.push(() => clearImmediate(turn))
  await heard.until(() => heard.lines.length === lines, 'all lines came')
  expect(mostATurn).toBeLessThanOrEqual(Math.ceil((2 * 65_536) / line.length))
})
