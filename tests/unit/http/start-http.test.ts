import { once } from 'node:events'
import { type AddressInfo, createServer } from 'node:net'
import { afterEach, expect, test } from 'vitest'
import { startHttp } from '../../../server/http/start-http.ts'
import { statusOf } from '../../../server/trouble.ts'
import { aFace } from '../../support/a-face.ts'
import { httpStation } from '../../support/http-station.ts'

const closing: (() => Promise<unknown>)[] = []
afterEach(() => Promise.all(closing.splice(0).map((close) => close())))
const start = async (given: { host?: string; port?: number; passphrase?: string }) => {
  const http = await startHttp({ face: aFace().face, webFolder: 'nowhere', version: '0', log: () => {}, ...given })
  closing.push(http.close)
  return http
}

test.each(['0.0.0.0', '::', '192.168.1.7', 'station.example', '::ffff:127.0.0.1', '127.evil.example', ''])(
  'without sign-in nobody but this machine is let in: host %j is wrong use',
  async (host) => {
    const failure = await start({ host, port: 0 }).catch((error: unknown) => error)
    expect(statusOf(failure)).toBe(2)
    expect(String(failure)).toContain('127.0.0.1')
  },
)

test('a port that is taken gives way to the next free one, and it is said', async () => {
  const other = createServer()
  other.listen(0, '127.0.0.1')
  await once(other, 'listening')
  closing.push(() => new Promise((resolve) => other.close(resolve)))
  const { port } = other.address() as AddressInfo
  const http = await start({ port })
  expect(http.usualPortTaken).toBe(true)
  expect(http.address.host).toBe('127.0.0.1')
  expect(http.address.port).not.toBe(port)
  expect((await fetch(`http://127.0.0.1:${http.address.port}/healthz`)).status).toBe(200)
})

test('a port that is free is used as asked', async () => {
  const probe = await start({ port: 0 })
  const { port } = probe.address
  await closing.pop()?.()
  const http = await start({ port, host: 'localhost' })
  expect(http).toMatchObject({ usualPortTaken: false, address: { host: '127.0.0.1', port } })
  expect(probe.usualPortTaken).toBe(false)
})

test('stopping says goodbye to viewers, closes their feeds, and does not wait for idle connections', async () => {
  const station = await httpStation()
  closing.push(station.close)
  const { socket } = await station.watch()
  const unread = await station.neverReading()
  const goodbye = once(socket, 'close')
  const began = performance.now()
  await station.http.close()
  expect(performance.now() - began).toBeLessThan(5000) // An orderly stop takes at most 5 s.
  const [code] = await goodbye
  expect(code).toBe(1001)
  expect(station.feeds.map(({ isClosed, followers }) => [isClosed, followers])).toEqual([[true, 0]])
  unread.destroy()
})
