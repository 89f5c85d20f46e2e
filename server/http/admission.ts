import type { IncomingMessage } from 'node:http'
import type { Refusal } from './refusal.ts'

const loopbackNames = ['localhost', '127.0.0.1', '[::1]']
const harmless = new Set(['GET', 'HEAD', 'OPTIONS'])
const jsonType = /^application\/json\s*(?:;|$)/i
/** A recording that is brought along. IANA media type registry. */
export const sqliteType = 'application/vnd.sqlite3'

/**
 * Why a request is turned away before anything looks at its path; null: it may come in. For HTTP and upgrades alike.
 *
 * Host: a name that another site lets point to this machine is not ours. Origin: pages of others may not reach in, which
 * a WebSocket does not check by itself. What changes something must be JSON or an SQLite file, which no foreign form can send unasked.
 * `names`: of this machine, beside those of the loopback and the address listened on. Source: Fetch standard (Origin, Sec-Fetch-Site); RFC 9110, 15.5.20 (421 Misdirected Request).
 */
export function refusalAtTheDoor(request: IncomingMessage, names: readonly string[]): Refusal | null {
  const { host, origin, 'content-type': contentType, 'sec-fetch-site': site } = request.headers
  const own = ownHosts(request, names)
  const named = host?.toLowerCase() ?? ''
  if (!own.includes(named) || !request.url?.startsWith('/')) {
    return { status: 421, errors: [`this station answers as ${own.join(', ')} alone, over plain http`] }
  }
  if (origin !== undefined && origin.toLowerCase() !== `http://${named}`) {
    return { status: 403, errors: [`Origin: only pages of http://${named} may ask`] }
  }
  if (harmless.has(request.method ?? '')) return null
  if (site !== undefined && site !== 'same-origin' && site !== 'none') {
    return { status: 403, errors: ['Sec-Fetch-Site: only pages of this station may change something'] }
  }
  // The form that asks for the passphrase works without script; a foreign page is turned away by its Origin.
  if (request.url === '/sign-in' || request.url === '/sign-out') return null
  if (!jsonType.test(contentType ?? '') && contentType !== sqliteType) {
    return { status: 415, errors: ['Content-Type: what changes something is sent as application/json'] }
  }
  return null
}

/** Host headers that mean this station: the names of the loopback and the address listened on, with the port. */
function ownHosts({ socket }: IncomingMessage, others: readonly string[]): string[] {
  const address = socket.localAddress ?? ''
  const names = new Set([...loopbackNames, ...others, address.includes(':') ? `[${address}]` : address])
  const hosts = [...names].filter((name) => name !== '').map((name) => `${name}:${socket.localPort}`)
  // A browser leaves out the port that a scheme implies.
  return socket.localPort === 80 ? [...hosts, ...names] : hosts
}
