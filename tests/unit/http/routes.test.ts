import { once } from 'node:events'
import { writeFileSync } from 'node:fs'
import { get } from 'node:http'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { calculationAnswer, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import {
  blocksAnswer,
  channelsAnswer,
  healthAnswer,
  logbookAnswer,
  marksAnswer,
  phasesAnswer,
  recordingsAnswer,
  seriesAnswer,
  verifyAnswer,
} from '../../../protocols/live/requests.ts'
import type { ExportedFile } from '../../../server/http/station-face.ts'
import { aFace, knownRecording, shownMs } from '../../support/a-face.ts'
import { type HttpStation, httpStation } from '../../support/http-station.ts'

let station: HttpStation
let file: ExportedFile | null = null
let releases = 0
beforeAll(async () => {
  station = await httpStation({ exportFile: () => Promise.resolve(file) })
})
afterAll(() => station.close())

const from = shownMs - 3_600_000
const base = `/api/recordings/${knownRecording}`

test('what is refused is told to a program as JSON, and to whoever opens an address as a page on which nothing of it runs', async () => {
  const path = '/api/recordings/<img src=x>/export?format=csv'.replaceAll(' ', '%20')
  const navigation = 'text/html,application/xhtml+xml,*/*;q=0.8'
  const page = await station.ask(path, { headers: { accept: navigation } })
  expect([page.status, page.headers['content-type']]).toEqual([404, 'text/html; charset=utf-8'])
  expect(page.text).toContain('there is no recording &quot;&lt;img src=x&gt;&quot;')
  expect(page.text).not.toContain('<img')
  for (const accept of ['*/*', 'application/json']) {
    const answer = await station.ask(path, { headers: { accept } })
    expect([answer.status, JSON.parse(answer.text)]).toMatchObject([404, { ok: false }])
  }
})

describe('each answer fits the schema that the dashboard reads it with', () => {
  test.each([
    ['/healthz', healthAnswer],
    ['/api/recordings', recordingsAnswer],
    [`${base}/blocks`, blocksAnswer],
    [`${base}/blocks?kind=rolling&average=PT1M&channel=co&quantity=as_read&from=${from}&to=${shownMs}`, blocksAnswer],
    ['/api/recordings/current/blocks', blocksAnswer],
    [`${base}/channels`, channelsAnswer],
    [`${base}/logbook`, logbookAnswer],
    [`${base}/logbook?group=alarm&from=${from}&to=${shownMs}&most=5`, logbookAnswer],
    [`${base}/logbook?flagged=1&most=3`, logbookAnswer],
    [`${base}/marks?from=${from}&to=${shownMs}&flagsTo=${shownMs}&columns=20`, marksAnswer],
    [`${base}/phases?from=${from}&to=${shownMs}`, phasesAnswer],
    [`${base}/marks?from=${from}&to=${shownMs}`, marksAnswer],
    [`${base}/marks?from=${from}&to=${shownMs}&average=PT30M&asRead=o2&referred=co,nox`, marksAnswer],
    [`${base}/series?channels=co,o2&from=${from}.5&to=${shownMs}&columns=60`, seriesAnswer],
    [`${base}/verify`, verifyAnswer],
    ['/api/calculations', calculationsAnswer],
  ])('%s', async (path, schema) => {
    const answer = await station.ask(path)
    expect([answer.status, answer.headers['content-type'], answer.headers['cache-control']]).toEqual([
      200,
      'application/json; charset=utf-8',
      'no-store',
    ])
    expect(schema.safeParse(JSON.parse(answer.text)).error).toBeUndefined()
  })

  test('as many rows as the station gave, however many pieces it takes', async () => {
    const [row] = (await aFace().face.blocks('current', { kind: 'block' })) ?? []
    const many = await httpStation({
      blocks: () => Promise.resolve(Array.from({ length: 1234 }, (_, index) => ({ ...row!, count: index }))),
    })
    const { rows } = blocksAnswer.parse(JSON.parse((await many.ask(`${base}/blocks`)).text))
    await many.close()
    expect(rows.map(({ count }) => count)).toEqual(Array.from({ length: 1234 }, (_, index) => index))
  })
})

describe('what is not there, or not allowed, is answered with what is', () => {
  test.each([
    'blocks',
    'logbook',
    'phases',
    'verify',
    'marks?from=1&to=2',
    `series?channels=co&from=1&to=2`,
    'export?format=csv',
  ])('an unknown recording: %s', async (part) => {
    const answer = await station.ask(`/api/recordings/no-such-night/${part}`)
    expect([answer.status, JSON.parse(answer.text)]).toEqual([
      404,
      {
        ok: false,
        errors: ['there is no recording "no-such-night"; GET /api/recordings lists them, "current" is the running one'],
      },
    ])
  })

  test.each([
    [
      'blocks?average=30min',
      'average: must be a length in hours and whole minutes, such as PT30M, PT1H or PT24H; P1D for the calendar day, run for the whole run',
    ],
    [
      'blocks?average=',
      'average: must be a length in hours and whole minutes, such as PT30M, PT1H or PT24H; P1D for the calendar day, run for the whole run',
    ],
    ['blocks?from=yesterday', 'from: must be milliseconds since 1970 UTC, such as 1795662660000'],
    ['blocks?from=', 'from: must be milliseconds since 1970 UTC, such as 1795662660000'],
    ['blocks?from=9999999999999999', 'from: lies beyond the instants that a date can hold'],
    ['blocks?from=2&to=1', 'to: must be later than from'],
    ['blocks?kind=sliding', 'kind: Invalid option: expected one of "block"|"rolling"'],
    ['blocks?lenght=PT1M', 'Unrecognized key: "lenght"; allowed: kind, average, channel, quantity, from, to'],
    ['blocks?channel=a&channel=b', 'channel: Invalid input: expected string, received array'],
    ['series?channels=co&from=1&to=2&columns=0', 'columns: must be a whole number from 1 to 4000'],
    ['series?channels=co&from=1&to=2&columns=1e3', 'columns: must be a whole number from 1 to 4000'],
    ['series?channels=co,&from=1&to=2', 'channels: must be 1 to 64 channel ids with commas between, such as co,o2'],
    [
      'marks?from=1&to=2&average=half',
      'average: must be a length in hours and whole minutes, such as PT30M, PT1H or PT24H; P1D for the calendar day, run for the whole run',
    ],
    ['marks?from=1&to=2&referred=', 'referred: must be 1 to 64 channel ids with commas between, such as co,o2'],
    ['export?format=doc', 'format: Invalid option: expected one of "csv"|"json"|"xlsx"'],
    ['verify?fast=1', 'Unrecognized key: "fast"'],
  ])('%s', async (part, error) => {
    const answer = await station.ask(`${base}/${part}`)
    expect([answer.status, JSON.parse(answer.text)]).toEqual([400, { ok: false, errors: [error] }])
  })

  test('all faults of an action at once', async () => {
    const answer = await station.post('/api/actions', { do: 'acknowledge', by: ' ', alarm: 'limit:co', note: '' })
    expect([answer.status, JSON.parse(answer.text)]).toEqual([
      400,
      { ok: false, errors: ['by: a name is needed: the logbook says who', 'note: acknowledging takes a note'] },
    ])
  })

  test.each([
    [{ minutes: 'ten' }, 'minutes: Invalid input: expected number, received string'],
    [{ minutes: 0 }, 'minutes: Too small: expected number to be >0'],
    [{ minutes: 1441 }, 'minutes: Too big: expected number to be <=1440'],
    [{ forever: true }, 'Unrecognized key: "forever"'],
    [{ alarm: '' }, 'alarm: Too small: expected string to have >=1 characters'],
  ])('an action that is wrong in %j is told what is allowed', async (wrong, error) => {
    const shelving = { do: 'shelve', by: 'A. Tester', alarm: 'limit:co', minutes: 10, note: 'waiting for a part' }
    const answer = await station.post('/api/actions', { ...shelving, ...wrong })
    expect([answer.status, JSON.parse(answer.text)]).toEqual([400, { ok: false, errors: [error] }])
  })

  test('a recording is removed only when its name is said twice', async () => {
    const one = await station.post(`${base}/removal`, { by: 'A. Tester', confirm: 'another' })
    expect([one.status, JSON.parse(one.text).errors]).toEqual([
      400,
      [`confirm: must be the recording’s own name, ${JSON.stringify(knownRecording)}; nothing was removed`],
    ])
    expect((await station.post(`${base}/removal`, { by: 'A. Tester', confirm: knownRecording })).status).toBe(200)
  })
  test.each([
    ['as JSON', 'application/json', '{}', 415],
    ['as the bytes of a database', 'application/vnd.sqlite3', 'SQLite format 3', 200],
    ['by a form', 'multipart/form-data; boundary=x', 'SQLite format 3', 415],
  ])('a recording that is brought along %s', async (_, type, body, status) => {
    const answer = await station.ask('/api/recordings?name=brought', {
      method: 'POST',
      headers: { 'content-type': type },
      body,
    })
    expect(answer.status).toBe(status)
  })
  test('a name that leads out of the folder is none', async () => {
    const answer = await station.ask('/api/recordings?name=..%2Fother', {
      method: 'POST',
      headers: { 'content-type': 'application/vnd.sqlite3' },
      body: 'x',
    })
    expect(answer.status).toBe(400)
  })

  test.each(['/nothing', '/api', '/api/nothing', '/.git/config'])('%s', async (path) => {
    const answer = await station.ask(path)
    expect([answer.status, JSON.parse(answer.text).ok]).toEqual([404, false])
  })

  test('a path that cannot be decoded', async () => {
    expect((await station.ask('/api/recordings/%E0%A4%A/blocks')).status).toBe(400)
  })

  test('a body that is no JSON', async () => {
    const answer = await station.post('/api/actions', '{"do":')
    expect([answer.status, JSON.parse(answer.text)]).toEqual([400, { ok: false, errors: ['the body is not JSON'] }])
  })
})

test('an action and a run request reach the station as checked; its refusal comes back with its status', async () => {
  const refusing = await httpStation({
    run: () => Promise.resolve({ ok: false, status: 409, errors: ['a run is under way'] }),
  })
  const acted = await refusing.post(
    '/api/actions',
    { do: 'note', by: ' A. Tester ', text: 'probe moved', pressedMs: 5 },
    { 'sec-fetch-site': 'same-origin' },
  )
  const run = await refusing.post('/api/run', { do: 'start', by: 'A. Tester' })
  await refusing.close()
  expect([acted.status, JSON.parse(acted.text)]).toEqual([200, { ok: true, errors: [] }])
  expect(refusing.asked).toEqual([{ do: 'note', by: 'A. Tester', text: 'probe moved', pressedMs: 5 }])
  expect([run.status, JSON.parse(run.text)]).toEqual([409, { ok: false, errors: ['a run is under way'] }])
})

test('a station that is not well says so with 503 and the reasons', async () => {
  const ill = await httpStation({
    health: () => ({ ok: false, reasons: ['stream main is silent'], version: '0.1.0', run: null, storedUpToMs: null }),
  })
  const answer = await ill.ask('/healthz')
  await ill.close()
  expect([answer.status, JSON.parse(answer.text).reasons]).toEqual([503, ['stream main is silent']])
})

test('a defect answers 500 without a word of its inside, and is logged without control characters', async () => {
  const broken = await httpStation({
    logbook: () => Promise.reject(new Error('line\nfeed \u001b[31m in /home/somebody')),
  })
  const answer = await broken.ask('/api/recordings/current/logbook')
  await broken.close()
  expect(answer.status).toBe(500)
  expect(answer.text).not.toContain('somebody')
  expect(broken.logged).toEqual([
    'http: GET "/api/recordings/current/logbook": "Error: line\\nfeed \\u001b[31m in /home/somebody"',
  ])
})

describe('an export', () => {
  const anExport = (bytes: Buffer): void => {
    const path = join(station.folder, 'made.csv')
    writeFileSync(path, bytes)
    releases = 0
    file = {
      name: 'Nacht “5”.csv',
      path,
      contentType: 'text/csv; charset=utf-8',
      release: () => {
        releases += 1
      },
    }
  }

  test('arrives whole, under its name, and its file is released', async () => {
    anExport(Buffer.from('run,stream\n'))
    const answer = await station.ask(`${base}/export?format=csv&decimal=,`)
    expect([answer.status, answer.text, answer.headers['content-type'], answer.headers['content-length']]).toEqual([
      200,
      'run,stream\n',
      'text/csv; charset=utf-8',
      '11',
    ])
    expect(answer.headers['content-disposition']).toContain('attachment; filename=')
    await vi.waitFor(() => expect(releases).toBe(1), { timeout: 20_000 })
  })

  test('is released too when the reader goes away', async () => {
    anExport(Buffer.alloc(64_000_000))
    const asked = get({ host: '127.0.0.1', port: station.port, path: `${base}/export?format=csv`, agent: false })
    const [response] = await once(asked, 'response')
    await once(response, 'readable')
    asked.destroy()
    await vi.waitFor(() => expect(releases).toBe(1), { timeout: 20_000 })
    expect(station.logged).toEqual([])
  })
})

describe('the dashboard', () => {
  test('comes with a policy that allows nothing from elsewhere and enforces Trusted Types', async () => {
    const page = await station.ask('/')
    expect([page.status, page.headers['cache-control']]).toEqual([200, 'no-cache'])
    expect(page.text).toContain('dashboard')
    expect(page.headers['content-security-policy']).toBe(
      "default-src 'self';object-src 'none';base-uri 'none';frame-ancestors 'none';form-action 'self';require-trusted-types-for 'script';trusted-types lit-html",
    )
    const overPlainHttp = [
      'strict-transport-security',
      'cross-origin-opener-policy',
      'origin-agent-cluster',
      'x-powered-by',
    ]
    expect(overPlainHttp.filter((name) => name in page.headers)).toEqual([])
  })

  test('keeps files whose name changes with their content', async () => {
    expect((await station.ask('/assets/main-1a2b.js')).headers['cache-control']).toBe(
      'public, max-age=31536000, immutable',
    )
  })
})

describe('a calculation', () => {
  // EU-1: Directive 2010/75/EU, Annex VI, Part 7; 150 mg/m3 at 5.2 % are 170.886 at 3 %.
  test('is worked from inputs with their units', async () => {
    const answer = await station.post('/api/calculations/reference-oxygen', {
      inputs: { concentration: '150 mg/m3', oxygen: 5.2, reference: '3 vol%' },
    })
    expect(answer.status).toBe(200)
    const { value, unit, inputs } = calculationAnswer.parse(JSON.parse(answer.text))
    expect([value, unit]).toEqual([expect.closeTo(170.886, 3), 'mg/m3'])
    expect(inputs.at(-1)).toEqual({ name: 'air', value: 21, unit: 'vol%', given: false })
  })

  test.each([
    ['a name that is not known', 'refrence-oxygen', { inputs: {} }, 404, [/did you mean "reference-oxygen"/]],
    ['what is no name at all', '..%2f', { inputs: {} }, 404, [/there is no calculation/]],
    [
      'inputs at fault, all at once',
      'air-ratio',
      { inputs: { oxygen: '5bar', oxigen: 1 } },
      400,
      [/oxigen/, /does not fit/],
    ],
    ['inputs of another shape', 'air-ratio', { inputs: { oxygen: [5] } }, 400, [/inputs\.oxygen/]],
  ] as const)('is refused for %s', async (_, name, body, status, told) => {
    const answer = await station.post(`/api/calculations/${name}`, body)
    expect(answer.status).toBe(status)
    expect(JSON.parse(answer.text)).toEqual({ ok: false, errors: told.map((text) => expect.stringMatching(text)) })
  })

  test('is described with its name in the path', async () => {
    const document = JSON.parse((await station.ask('/api/openapi.json')).text)
    const { parameters } = document.paths['/api/calculations/{name}'].post
    expect(parameters).toEqual([expect.objectContaining({ name: 'name', in: 'path', required: true })])
  })
})

describe('the description of the interface', () => {
  test('is an OpenAPI 3.1 document with every route, its values and its answers', async () => {
    const document = JSON.parse((await station.ask('/api/openapi.json')).text)
    expect(document.openapi).toBe('3.1.0')
    expect(Object.keys(document.paths).sort()).toEqual([
      '/api/actions',
      '/api/calculations',
      '/api/calculations/{name}',
      '/api/docs',
      '/api/live',
      '/api/openapi.json',
      '/api/recordings',
      '/api/recordings/{id}/amend',
      '/api/recordings/{id}/amendments',
      '/api/recordings/{id}/blocks',
      '/api/recordings/{id}/channels',
      '/api/recordings/{id}/compare',
      '/api/recordings/{id}/explain',
      '/api/recordings/{id}/export',
      '/api/recordings/{id}/file',
      '/api/recordings/{id}/logbook',
      '/api/recordings/{id}/marks',
      '/api/recordings/{id}/phases',
      '/api/recordings/{id}/removal',
      '/api/recordings/{id}/series',
      '/api/recordings/{id}/settings',
      '/api/recordings/{id}/verify',
      '/api/run',
      '/api/set-up',
      '/api/set-up/check',
      '/api/set-up/heard',
      '/api/set-up/listen',
      '/api/set-up/ports',
      '/api/set-up/preview',
      '/api/set-up/propose',
      '/api/set-up/schema',
      '/api/set-up/stop-listening',
      '/api/set-up/write',
      '/api/tests',
      '/healthz',
      '/metrics',
    ])
    const { parameters } = document.paths['/api/recordings/{id}/series'].get
    expect(parameters.map(({ name, required }: { name: string; required: boolean }) => [name, required])).toEqual([
      ['id', true],
      ['channels', true],
      ['value', false],
      ['from', true],
      ['to', true],
      ['columns', false],
    ])
    expect(document.paths['/api/actions'].post.requestBody.content['application/json'].schema.oneOf).toHaveLength(8)
    expect(document.components.schemas.IncrementMessage.oneOf).toHaveLength(11)
  })

  test('is a page to read as well', async () => {
    const page = await station.ask('/api/docs')
    expect(page.headers['content-type']).toBe('text/html; charset=utf-8')
    expect(page.text).toContain('GET /api/recordings/:id/series')
    expect(page.text).not.toMatch(/<script|<style|style=/)
  })
})
