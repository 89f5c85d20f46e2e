import { hostname } from 'node:os'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { SignIn } from '../../../server/http/sign-in.ts'
import { type HttpStation, httpStation } from '../../support/http-station.ts'

const passphrase = 'three lit burners at dawn'
let station: HttpStation
beforeAll(async () => {
  station = await httpStation({}, { passphrase, host: '0.0.0.0' })
})
afterAll(() => station.close())

const form = (text: string, headers: Record<string, string> = {}) =>
  station.ask('/sign-in', {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded', ...headers },
    body: `passphrase=${encodeURIComponent(text)}`,
  })
const cookieOf = (answer: { headers: NodeJS.Dict<string | string[]> }) =>
  String(answer.headers['set-cookie']).split(';')[0] ?? ''

describe('who has not signed in', () => {
  test.each(['/api/recordings', '/api/openapi.json', '/healthz', '/metrics', '/assets/main-1a2b.js', '/index.html'])(
    'learns nothing from %s',
    async (path) => {
      const answer = await station.ask(path)
      expect([answer.status, JSON.parse(answer.text)]).toEqual([
        401,
        { ok: false, errors: ['sign in first: open /sign-in in a browser'] },
      ])
    },
  )
  test('is led to the page that asks', async () => {
    const answer = await station.ask('/', { headers: { accept: 'text/html' } })
    expect([answer.status, answer.headers.location]).toEqual([303, '/sign-in'])
    expect((await station.ask('/sign-in')).text).toContain('name="passphrase"')
  })
  test('does nothing, and opens no line', async () => {
    expect((await station.post('/api/actions', { do: 'note', by: 'A', text: 'b', pressedMs: 1 })).status).toBe(401)
    expect(await station.refusedUpgrade('/api/live', {})).toBe(401)
    expect(station.asked).toEqual([])
  })
})

describe('who knows the passphrase', () => {
  test('gets a cookie that no script reads and no other site sends, and is let in with it', async () => {
    const answer = await form(passphrase)
    expect([answer.status, answer.headers.location]).toEqual([303, '/'])
    expect(String(answer.headers['set-cookie'])).toMatch(/; HttpOnly; SameSite=Strict; Path=\/; Max-Age=1209600$/)
    const cookie = cookieOf(answer)
    expect((await station.ask('/api/recordings', { headers: { cookie } })).status).toBe(200)
    const { socket } = await station.watch('/api/live', { headers: { cookie } })
    socket.close()
  })
  test('is let in under the name of the machine, and under no other', async () => {
    const cookie = cookieOf(await form(passphrase))
    const under = (name: string) =>
      station.ask('/api/recordings', { headers: { cookie, host: `${name}:${station.port}` } })
    expect((await under(hostname().toLowerCase())).status).toBe(200)
    expect((await under('elsewhere.example')).status).toBe(421)
  })
  test('is out again after signing out', async () => {
    expect(cookieOf(await station.ask('/sign-out', { method: 'POST' }))).toBe('flueledger-sign-in=')
  })
  test('may write it composed or decomposed', async () => {
    const signIn = new SignIn('Bürgersteig im Nebel', () => 0)
    expect(await signIn.try('Bu\u0308rgersteig im Nebel')).toMatchObject({ ok: true })
  })
})

test('a page of another site cannot sign anybody in', async () => {
  expect((await form(passphrase, { origin: 'http://elsewhere.example' })).status).toBe(403)
})

test.each([
  ['a changed end', (cookie: string) => cookie.replace(/=\d+/, '=99999999999999')],
  ['a changed mark', (cookie: string) => `${cookie.slice(0, -1)}${cookie.endsWith('A') ? 'B' : 'A'}`],
  ['no mark', (cookie: string) => cookie.split('.').slice(0, 2).join('.')],
  ['nothing', () => 'flueledger-sign-in='],
])('a cookie with %s lets nobody in', async (_, forge) => {
  const cookie = forge(cookieOf(await form(passphrase)))
  expect((await station.ask('/api/recordings', { headers: { cookie } })).status).toBe(401)
})

test('a cookie outlives a restart with the same passphrase, not its two weeks, and no other passphrase', async () => {
  let now = 1_000
  const tried = await new SignIn(passphrase, () => now).try(passphrase)
  const request = { headers: { cookie: tried.ok ? tried.cookie.split(';')[0] : '' } } as never
  const lets = (text: string) => new SignIn(text, () => now).isSignedIn(request)
  expect([lets(passphrase), lets('another passphrase altogether')]).toEqual([true, false])
  now += 14 * 86_400_000
  expect(lets(passphrase)).toBe(false)
})

test('ten wrong tries make everyone wait, six seconds for each one more', async () => {
  let now = 0
  const signIn = new SignIn(passphrase, () => now)
  const wrong = await Promise.all(Array.from({ length: 11 }, () => signIn.try('guess')))
  expect(wrong.map((tried) => (tried.ok ? 'in' : tried.why))).toEqual([...Array(10).fill('wrong'), 'too-many'])
  expect(await signIn.try(passphrase)).toEqual({ ok: false, why: 'too-many', waitSeconds: 6 })
  now = 6_000
  expect(await signIn.try(passphrase)).toMatchObject({ ok: true })
})
