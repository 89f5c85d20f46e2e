import { STATUS_CODES } from 'node:http'
import type { Duplex } from 'node:stream'
import type { Response } from 'express'
import { z } from 'zod'
import { refusalPage } from './refusal-page.ts'

// What passes between server and page is checked by schemas that bring no texts of their own: without these, every fault
// would be "Invalid input".
z.config(z.locales.en())

/** Why something is not done: an HTTP status, and sentences that say what is allowed. */
export interface Refusal {
  readonly status: number
  readonly errors: readonly string[]
}

const bodyOf = ({ errors }: Refusal) => ({ ok: false, errors })

/** As JSON for a program; a browser that opens an address, as a link to a file does, gets a page. */
export function refuse(response: Response, refusal: Refusal): void {
  response.status(refusal.status)
  if (response.req.accepts(['json', 'html']) === 'html') response.type('html').send(refusalPage(refusal.errors))
  else response.json(bodyOf(refusal))
}

/** The same for a request that asked for a WebSocket: no response object exists there. Ends the socket. */
export function refuseUpgrade(socket: Duplex, refusal: Refusal): void {
  const body = JSON.stringify(bodyOf(refusal))
  const head = [
    `HTTP/1.1 ${refusal.status} ${STATUS_CODES[refusal.status] ?? ''}`,
    'Connection: close',
    'Content-Type: application/json; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(body)}`,
  ]
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`, () => socket.destroy())
}

export const unknownRecording = (id: string): Refusal & { readonly status: 404 } => ({
  status: 404,
  errors: [`there is no recording ${JSON.stringify(id)}; GET /api/recordings lists them, "current" is the running one`],
})

/** One sentence per fault, with its place. `schema` is what was asked for: it names the keys that are allowed. */
export function faultsOf(error: z.core.$ZodError, schema: z.core.$ZodType): string[] {
  const allowed = schema instanceof z.core.$ZodObject ? Object.keys(schema._zod.def.shape) : []
  return error.issues.map((issue) => {
    const place = z.core.toDotPath(issue.path)
    const names = issue.code === 'unrecognized_keys' && allowed.length > 0 ? `; allowed: ${allowed.join(', ')}` : ''
    return `${place === '' ? '' : `${place}: `}${issue.message}${names}`
  })
}
