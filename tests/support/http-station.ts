import { once } from 'node:events'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { request as sendRequest } from 'node:http'
import { connect, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type ClientOptions, WebSocket } from 'ws'
import { type LiveMessage, liveMessage } from '../../protocols/live/messages.ts'
import { type HttpSettings, startHttp } from '../../server/http/start-http.ts'
import type { StationFace } from '../../server/http/station-face.ts'
import { aFace } from './a-face.ts'

export const secret = 'this file lies outside of the dashboard'

export interface Answered {
  readonly status: number
  readonly headers: NodeJS.Dict<string | string[]>
  readonly text: string
}

/** A real server on a free port before a hand-made face, with a small web folder and a secret beside it. */
export async function httpStation(given: Partial<StationFace> = {}, settings: Partial<HttpSettings> = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-http-'))
  const webFolder = join(folder, 'web')
  mkdirSync(join(webFolder, 'assets'), { recursive: true })
  writeFileSync(join(folder, 'secret.txt'), secret)
  writeFileSync(join(webFolder, 'index.html'), '<!doctype html><title>dashboard</title>')
  writeFileSync(join(webFolder, 'assets', 'main-1a2b.js'), 'export {}')
  const logged: string[] = []
  const { face, asked, feeds } = aFace(given)
  const http = await startHttp({
    face,
    port: 0,
    webFolder,
    version: '0.1.0',
    log: (text) => logged.push(text),
    ...settings,
  })
  const { port } = http.address
  const host = `127.0.0.1:${port}`
  const lines: { terminate(): void }[] = []

  /** Sends path and headers as they stand: `fetch` would mend both. */
  const ask = (
    path: string,
    {
      method = 'GET',
      headers = {},
      body = '',
    }: { method?: string; headers?: Record<string, string>; body?: string | Buffer } = {},
  ) =>
    new Promise<Answered>((resolve, reject) => {
      const sent = sendRequest(
        {
          host: '127.0.0.1',
          port,
          method,
          path,
          headers: { host, ...(body.length > 0 ? { 'content-length': String(body.length) } : {}), ...headers },
          agent: false,
        },
        (response) => {
          const pieces: Buffer[] = []
          response.on('data', (piece: Buffer) => pieces.push(piece))
          response.on('end', () =>
            resolve({
              status: response.statusCode ?? 0,
              headers: response.headers,
              text: Buffer.concat(pieces).toString(),
            }),
          )
          response.on('error', reject)
        },
      )
      sent.on('error', reject)
      sent.end(body)
    })

  return {
    face,
    asked,
    feeds,
    logged,
    http,
    host,
    port,
    folder,
    ask,
    post: (path: string, value: unknown, headers: Record<string, string> = {}) =>
      ask(path, {
        method: 'POST',
        body: typeof value === 'string' ? value : JSON.stringify(value),
        headers: { 'content-type': 'application/json', ...headers },
      }),
    /** Opens a line; each message is checked against the schema as it comes. */
    async watch(path = '/api/live', options: ClientOptions = {}) {
      const socket = new WebSocket(`ws://${host}${path}`, options)
      const heard: LiveMessage[] = []
      socket.on('message', (data) => heard.push(liveMessage.parse(JSON.parse(String(data)))))
      socket.on('error', () => {}) // A close follows.
      lines.push(socket)
      await once(socket, 'open')
      return { socket, heard }
    },
    /** The status with which an upgrade is refused. */
    refusedUpgrade: (path: string, headers: Record<string, string>) =>
      new Promise<number>((resolve, reject) => {
        const socket = new WebSocket(`ws://${host}${path}`, { headers })
        socket.on('unexpected-response', (request, response) => {
          resolve(response.statusCode ?? 0)
          request.destroy()
        })
        socket.on('open', () => reject(new Error('the line was opened')))
        socket.on('error', () => {})
      }),
    /** Shakes hands and reads nothing from then on. */
    async neverReading(): Promise<Socket> {
      const socket = connect(port, '127.0.0.1')
      lines.push({ terminate: () => socket.destroy() })
      socket.on('error', () => {})
      await once(socket, 'connect')
      socket.write(
        `GET /api/live HTTP/1.1\r\nHost: ${host}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n`,
      )
      await once(socket, 'readable')
      return socket
    },
    async metric(name: string): Promise<number> {
      const { text } = await ask('/metrics')
      return Number(new RegExp(`^${name} (\\S+)$`, 'm').exec(text)?.[1])
    },
    async close() {
      for (const line of lines) line.terminate()
      await http.close()
      rmSync(folder, { recursive: true })
    },
  }
}
export type HttpStation = Awaited<ReturnType<typeof httpStation>>
