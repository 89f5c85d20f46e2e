import { once } from 'node:events'
import { connect } from 'node:net'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type HttpStation, httpStation, secret } from '../../support/http-station.ts'

let station: HttpStation
beforeAll(async () => {
  station = await httpStation()
})
afterAll(() => station.close())

const note = { do: 'note', by: 'A. Tester', text: 'probe moved', pressedMs: 1 }

describe('a name that another site lets point to this machine (DNS rebinding) is turned away before routing', () => {
  const foreign = [
    'evil.example',
    'evil.example:80',
    'localhost.evil.example:80',
    '127.0.0.1',
    '127.0.0.1:1',
    '10.0.0.7:80',
    'localhost:',
    '[::1]',
    '127.0.0.1.:80',
    '0.0.0.0:80',
  ]
  test.each(foreign)('Host %j, over HTTP and on upgrade', async (host) => {
    expect((await station.ask('/api/recordings', { headers: { host } })).status).toBe(421)
    expect((await station.ask('/', { headers: { host } })).status).toBe(421)
    expect((await station.ask('/nothing-here', { headers: { host } })).status).toBe(421)
    expect(await station.refusedUpgrade('/api/live', { host })).toBe(421)
  })

  test('a request of the old kind that names no host is turned away too', async () => {
    const socket = connect(station.port, '127.0.0.1')
    socket.write('GET /api/recordings HTTP/1.0\r\n\r\n')
    const [answer] = await once(socket, 'data')
    expect(String(answer)).toMatch(/^HTTP\/1\.1 421 /)
    socket.destroy()
  })

  test('a target that names another host in full is not answered under our own Host', async () => {
    expect((await station.ask('http://evil.example/api/recordings')).status).toBe(421)
  })

  test('the loopback names with our port are answered', async () => {
    const hosts = ['localhost', 'LOCALHOST', '127.0.0.1', '[::1]'].map((name) => `${name}:${station.port}`)
    const answers = await Promise.all(hosts.map((host) => station.ask('/api/recordings', { headers: { host } })))
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200])
  })
})

describe('a page of another origin gets nothing', () => {
  const foreign = [
    'http://evil.example',
    'null',
    'https://127.0.0.1',
    'http://127.0.0.1:1',
    'http://localhost',
    'file://',
    '',
  ]
  test.each(foreign)('Origin %j, over HTTP and on upgrade', async (origin) => {
    expect((await station.ask('/api/recordings', { headers: { origin } })).status).toBe(403)
    expect((await station.post('/api/actions', note, { origin })).status).toBe(403)
    expect(await station.refusedUpgrade('/api/live', { origin })).toBe(403)
    expect(station.asked).toEqual([])
  })

  test('another name of this station is another origin', async () => {
    expect(await station.refusedUpgrade('/api/live', { origin: `http://localhost:${station.port}` })).toBe(403)
  })

  test('our own page may ask, and look on', async () => {
    const origin = `http://${station.host}`
    expect((await station.ask('/api/recordings', { headers: { origin } })).status).toBe(200)
    const { socket } = await station.watch('/api/live', { headers: { origin } })
    expect(socket.readyState).toBe(socket.OPEN)
  })
})

describe('what changes something cannot be sent by a foreign form or link', () => {
  test.each([
    [
      'a form',
      { headers: { 'content-type': 'application/x-www-form-urlencoded' }, body: 'do=note&by=x&text=y&pressedMs=1' },
      415,
    ],
    [
      'a form with a file',
      { headers: { 'content-type': 'multipart/form-data; boundary=x' }, body: JSON.stringify(note) },
      415,
    ],
    ['JSON sent as plain text', { headers: { 'content-type': 'text/plain' }, body: JSON.stringify(note) }, 415],
    [
      'JSON hidden in a type of its own',
      { headers: { 'content-type': 'text/plain; application/json' }, body: JSON.stringify(note) },
      415,
    ],
    ['a type that begins alike', { headers: { 'content-type': 'application/jsonp' }, body: JSON.stringify(note) }, 415],
    ['no type at all', { headers: {}, body: JSON.stringify(note) }, 415],
    [
      'a page of another site',
      { headers: { 'content-type': 'application/json', 'sec-fetch-site': 'cross-site' }, body: JSON.stringify(note) },
      403,
    ],
    [
      'a page on another port',
      { headers: { 'content-type': 'application/json', 'sec-fetch-site': 'same-site' }, body: JSON.stringify(note) },
      403,
    ],
  ])('%s', async (_, sent, status) => {
    expect((await station.ask('/api/actions', { method: 'POST', ...sent })).status).toBe(status)
    expect((await station.ask('/api/run', { method: 'POST', ...sent })).status).toBe(status)
    expect(station.asked).toEqual([])
  })

  test('a GET changes nothing and is told the method', async () => {
    const answer = await station.ask('/api/actions?do=note&by=x&text=y&pressedMs=1')
    expect([answer.status, answer.headers.allow]).toEqual([405, 'POST'])
    expect(station.asked).toEqual([])
  })
})

describe('a body beyond bounds is refused before it is read', () => {
  test('more than 64 kB', async () => {
    const answer = await station.post('/api/actions', { ...note, text: 'x'.repeat(65_536) })
    expect([answer.status, JSON.parse(answer.text)]).toEqual([
      413,
      { ok: false, errors: ['a body holds at most 65536 bytes'] },
    ])
  })
  test('a small one that would grow', async () => {
    const body = gzipSync(JSON.stringify(note))
    const answer = await station.ask('/api/actions', {
      method: 'POST',
      body,
      headers: { 'content-type': 'application/json', 'content-encoding': 'gzip' },
    })
    expect(answer.status).toBe(415)
  })
  test('thirty thousand levels deep', async () => {
    expect((await station.post('/api/actions', '['.repeat(30_000) + ']'.repeat(30_000))).status).toBe(400)
  })
  test('a key that would reach every object', async () => {
    const answer = await station.post(
      '/api/actions',
      `{"__proto__":{"polluted":true},"do":"note","by":"A","text":"b","pressedMs":1,"constructor":{}}`,
    )
    expect(answer.status).toBe(400)
    expect(Object.hasOwn(Object.prototype, 'polluted')).toBe(false)
    expect(station.asked).toEqual([])
  })
})

test('no spelling of a path leaves the dashboard’s folder', async () => {
  const ups = [
    '../',
    '..%2f',
    '%2e%2e/',
    '%2e%2e%2f',
    '..\\',
    '..%5c',
    '%2e%2e%5c',
    '....//',
    '..;/',
    '%252e%252e%252f',
    '..%00/',
    '.%2e/',
    '%c0%ae%c0%ae/',
    '..%c0%af',
    './../',
  ]
  const starts = ['/', '/assets/', '//', '/api/recordings/', '/api/recordings/current/', '/%00/', '/./']
  const ends = ['secret.txt', 'secret.txt%00.html']
  const paths = starts.flatMap((start) => ups.flatMap((up) => ends.map((end) => `${start}${up}${end}`)))
  const ids = ups.map((up) => `/api/recordings/${encodeURIComponent(up)}secret.txt/export?format=csv`)
  const absolute = [
    `/${encodeURIComponent(`${station.folder}/secret.txt`)}`,
    `${station.folder}/secret.txt`,
    `/api/recordings/${'a'.repeat(5000)}/blocks`,
  ]
  const tried = [...paths, ...ids, ...absolute]
  expect(tried.length).toBeGreaterThan(200)
  const answers = await Promise.all(tried.map((path) => station.ask(path)))
  expect(answers.filter(({ text }) => text.includes(secret))).toEqual([])
  expect(
    [...new Set(answers.map(({ status }) => status))].filter((status) => ![400, 403, 404, 421].includes(status)),
  ).toEqual([])
})
