import { createHmac, randomBytes, scrypt, scryptSync, timingSafeEqual } from 'node:crypto'
import type { IncomingMessage } from 'node:http'

/** Shorter ones are guessed. NIST SP 800-63B-4, 3.1.1.2: at least 15 characters where a password is all that is asked. */
export const shortestPassphrase = 15
const cookieName = 'flueledger-sign-in'
/** Long enough for a campaign, so that nobody is asked again at three in the morning. */
const staysMs = 14 * 86_400_000
/** So many wrong tries at once; then one more for each `tryEveryMs`. NIST SP 800-63B-4, 3.2.2 asks for a limit. */
const triesAtOnce = 10
const tryEveryMs = 6_000
const keyBytes = 32
// Fixed, so that who signed in stays so when the station restarts; the passphrase is never stored.
const salt = 'flueledger sign-in 1'

export type Tried =
  | { readonly ok: true; readonly cookie: string }
  | { readonly ok: false; readonly why: 'wrong' }
  | { readonly ok: false; readonly why: 'too-many'; readonly waitSeconds: number }

/** One passphrase for the station. Who knows it gets a cookie that lasts two weeks, or until the passphrase changes. */
export class SignIn {
  private readonly key: Buffer
  private readonly nowMs: () => number
  private tries = triesAtOnce
  private triedMs: number
  /** Checks run one after the other: each takes a core for a moment on purpose. */
  private checking: Promise<unknown> = Promise.resolve()

  /** `nowMs`: the wall clock. */
  constructor(passphrase: string, nowMs: () => number) {
    this.key = scryptSync(passphrase.normalize('NFC'), salt, keyBytes)
    this.nowMs = nowMs
    this.triedMs = nowMs()
  }

  isSignedIn(request: IncomingMessage): boolean {
    const cookies = request.headers.cookie?.split(';').map((part) => part.trim()) ?? []
    const found = cookies.find((part) => part.startsWith(`${cookieName}=`))?.slice(cookieName.length + 1) ?? ''
    const [until = '', nonce = '', mark = ''] = found.split('.')
    return Number(until) > this.nowMs() && same(mark, this.mark(until, nonce))
  }

  try(passphrase: string): Promise<Tried> {
    const checked = this.checking.then(() => this.check(passphrase))
    this.checking = checked.catch(() => {})
    return checked
  }

  private async check(passphrase: string): Promise<Tried> {
    const now = this.nowMs()
    this.tries = Math.min(triesAtOnce, this.tries + Math.max(0, now - this.triedMs) / tryEveryMs)
    this.triedMs = now
    if (this.tries < 1)
      return { ok: false, why: 'too-many', waitSeconds: Math.ceil(((1 - this.tries) * tryEveryMs) / 1000) }
    const key = await new Promise<Buffer>((resolve, reject) =>
      scrypt(passphrase.normalize('NFC'), salt, keyBytes, (error, made) => (error ? reject(error) : resolve(made))),
    )
    if (!timingSafeEqual(key, this.key)) {
      this.tries -= 1
      return { ok: false, why: 'wrong' }
    }
    const until = String(now + staysMs)
    const nonce = randomBytes(12).toString('base64url')
    const attributes = `HttpOnly; SameSite=Strict; Path=/; Max-Age=${staysMs / 1000}`
    return { ok: true, cookie: `${cookieName}=${until}.${nonce}.${this.mark(until, nonce)}; ${attributes}` }
  }

  private mark(until: string, nonce: string): string {
    return createHmac('sha256', this.key).update(`${until}.${nonce}`).digest('base64url')
  }
}

export const signedOut = `${cookieName}=; HttpOnly; SameSite=Strict; Path=/; Max-Age=0`

const same = (one: string, other: string): boolean =>
  one.length === other.length && timingSafeEqual(Buffer.from(one), Buffer.from(other))
