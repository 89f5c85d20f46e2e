import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod/mini'
import { amendAnswer, amendmentsAnswer } from '../../protocols/live/amend.ts'
import { blocksAnswer } from '../../protocols/live/requests.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { endAll, flueledger, post, Running, until } from '../support/built-command.ts'
import { type DemoRecording, demoRecording } from '../support/demo-recording.ts'
import { explainedOf, linesOf, meansOf, stated } from '../support/second-party.ts'

// A night that is over, then the checks of before and after it, told over HTTP. Expected values by hand from US EPA Method 7E
// (40 CFR 60 App. A-4), eq. 7E-5b: (C_avg − C_O) · C_MA / (C_M − C_O); the gases are invented.

const startMs = Date.UTC(2026, 10, 20, 18)
const hour = 3_600_000
/** Of the night: three purges, and whole half-hours between them. */
const hours = 3
const zeroBefore = {
  kind: 'zero',
  expected: 0,
  response: 0.4,
  gas: 'invented nitrogen',
  performedMs: startMs - hour / 2,
}
const spanBefore = { kind: 'span', expected: 90, response: 88.6, gas: 'invented 7', performedMs: startMs - hour / 3 }
const zeroAfter = { ...zeroBefore, response: 1, performedMs: startMs + 6 * hour }
const spanAfter = { ...spanBefore, response: 87, performedMs: startMs + 6.1 * hour }
const told = [zeroBefore, spanBefore, zeroAfter, spanAfter]
const [low, upscale, gas] = [(0.4 + 1) / 2, (88.6 + 87) / 2, 90]

const withCorrections = (corrections: object) => (station: Record<string, unknown>) => ({
  ...station,
  corrections: { zero: 'none', ...corrections },
  averaging: { ...(station.averaging as object), run: { rule: 'fraction' } },
})

const made: DemoRecording[] = []
afterAll(async () => {
  await endAll()
  for (const one of made) one.remove()
})

/** A recorded night in the data folder of a station that runs beside it. */
async function nightInFolder(corrections: object) {
  const night = await demoRecording('calm-night', withCorrections(corrections), hours)
  made.push(night)
  const station = new Running(
    ...['serve', '--station', join(night.folder, 'station.json'), '--data', night.folder, '--port', '0'],
  )
  const address = await station.address()
  const path = '/api/recordings/night'
  const amend = async (request: object) =>
    z.partial(amendAnswer).parse(await (await post(address, `${path}/amend`, { by: 'A. Tester', ...request })).json())
  return {
    ...night,
    amend,
    check: (check: object) => amend({ do: 'check', channel: 'co', ...check }),
    stop: () => station.stop(),
    rows: async (query: string): Promise<readonly AverageRow[]> =>
      blocksAnswer.parse(await (await fetch(`${address}${path}/blocks?channel=co&${query}`)).json()).rows,
    amendments: async () => amendmentsAnswer.parse(await (await fetch(`${address}${path}/amendments`)).json()),
  }
}
type Night = Awaited<ReturnType<typeof nightInFolder>>

describe('a run whose means are corrected for bias, and its checks told when it was over', () => {
  let night: Night
  let asRead = Number.NaN
  const ids: string[] = []
  beforeAll(async () => {
    night = await nightInFolder({ bias: 'run-means' })
    asRead = (await night.rows('average=run&quantity=as_read'))[0]?.mean ?? Number.NaN
  })
  const biased = async () => (await night.rows('average=run&quantity=bias_corrected'))[0]

  test('three of the four checks correct nothing; the fourth gives the corrected mean', async () => {
    for (const check of told) {
      expect(await biased()).toBeUndefined()
      const { ok, id } = await night.check(check)
      expect(ok).toBe(true)
      ids.push(id ?? '')
    }
    expect((await biased())?.mean).toBeCloseTo(((asRead - low) * gas) / (upscale - low), 9)
    expect((await night.amendments()).checks).toHaveLength(4)
  })

  test('a second party recomputes it from the lines, the checks and the formula that explain tells', async () => {
    const row = await biased()
    const answer = await explainedOf(
      night.recording,
      ...['--block', new Date(row?.startMs ?? 0).toISOString(), '--channel', 'co'],
      ...['--average', 'run', '--quantity', 'bias_corrected'],
    )
    const [mean = Number.NaN] = meansOf(answer, linesOf(night.recording))
    const inputs = new Map(answer.steps.flatMap((step) => step.inputs.map(({ name, value }) => [name, value] as const)))
    const of = (name: string): number => inputs.get(name) ?? Number.NaN
    const [c0, cm, cma] = [
      of('answer to the low gas, C_O'),
      of('answer to the upscale gas, C_M'),
      of('upscale gas, C_MA'),
    ]
    expect([answer.agrees, c0, cm, cma]).toEqual([true, low, upscale, gas])
    expect(stated(((mean - c0) * cma) / (cm - c0))).toBe(stated(answer.row.mean))
  })

  test('the same by the printed text with a pocket calculator', async () => {
    const row = await biased()
    const { out } = await flueledger(
      ...['explain', night.recording, '--block', new Date(row?.startMs ?? 0).toISOString(), '--channel', 'co'],
      ...['--average', 'run', '--quantity', 'bias_corrected'],
    )
    const printed = (name: string): number => Number(new RegExp(`^ +${name} = (\\S+)`, 'm').exec(out)?.[1])
    const pocket = (value: number): number => Number(value.toPrecision(10))
    const above = pocket(
      pocket(printed('mean, C_avg') - printed('answer to the low gas, C_O')) * printed('upscale gas, C_MA'),
    )
    const below = pocket(printed('answer to the upscale gas, C_M') - printed('answer to the low gas, C_O'))
    const result = Number(/^result: (\S+)/m.exec(out)?.[1])
    expect(Math.abs(pocket(above / below) - result)).toBeLessThanOrEqual(1e-8 * result)
    expect(out).toContain('source: US EPA Method 7E (40 CFR 60 App. A-4), eq. 7E-5b')
  })

  test('verify passes, and the export holds the corrected mean and its checks', async () => {
    expect((await flueledger('verify', night.recording)).status).toBe(0)
    const folder = join(night.folder, 'export')
    expect((await flueledger('export', night.recording, '--format', 'csv,json,xlsx', '--out', folder)).status).toBe(0)
    const lines = (name: string) => readFileSync(join(folder, name), 'utf8').split('\n')
    expect(lines('blocks.csv').filter((line) => line.includes(',co,bias_corrected,'))).toHaveLength(1)
    const checks = lines('checks.csv').filter((line) => /_check,co,/.test(line))
    expect(checks.map((line) => line.split(',')[1])).toEqual(['zero_check', 'span_check', 'zero_check', 'span_check'])
    expect(lines('checks.csv').some((line) => line.includes('zero_record,co,'))).toBe(true)
  })

  test('a check that is taken back takes the corrected mean with it; what it was, who and why stay in the history', async () => {
    const before = (await biased())?.mean
    expect(await night.amend({ do: 'withdraw', id: ids[3], reason: 'wrong cylinder' })).toMatchObject({ ok: true })
    expect(await biased()).toBeUndefined()
    const change = (await night.amendments()).changes.find(({ old }) => old.quantity === 'bias_corrected')
    expect(change).toMatchObject({
      by: 'A. Tester',
      reason: `withdrawn ${ids[3]}: wrong cylinder`,
      old: { mean: before },
      new: null,
    })
    const { status, out } = await flueledger('verify', night.recording)
    expect([status, out]).toEqual([0, expect.stringContaining('3 checks')])
  })

  test('told anew it is there again, and verify passes', async () => {
    expect(await night.check(spanAfter)).toMatchObject({ ok: true })
    expect((await biased())?.mean).toBeCloseTo(((asRead - low) * gas) / (upscale - low), 9)
    expect((await flueledger('verify', night.recording)).status).toBe(0)
  })

  test.each([
    [{ ...spanAfter, channel: 'nox' }, 'is no gas that the instrument measures'],
    [{ ...spanAfter, performedMs: Date.UTC(2099, 0, 1) }, 'this time is yet to come'],
  ])('what cannot be is refused: %j', async (check, text) => {
    const answer = await night.amend({ do: 'check', channel: 'co', ...check })
    expect([answer.ok, answer.errors?.join()]).toEqual([false, expect.stringContaining(text)])
  })
})

describe('span factors from checks, and a drift beyond the limit', () => {
  let night: Night
  beforeAll(async () => {
    night = await nightInFolder({ zero: 'interpolated', spanFrom: 'checks', drift: { limitPercent: 3 } })
    for (const check of told) await night.check(check)
  })

  test('a second party recomputes a half-hour with the factors from the checks told', async () => {
    const answer = await explainedOf(
      night.recording,
      ...['--block', '2026-11-20T19:30:00Z', '--channel', 'co', '--average', 'PT30M', '--quantity', 'drift_corrected'],
    )
    expect([answer.agrees, answer.spans[0]?.points.length]).toEqual([true, 2])
    expect(stated(meansOf(answer, linesOf(night.recording))[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })

  test('another check of the run that shows too much drift makes its averages invalid, with the old ones in the history', async () => {
    const half = async () =>
      (await night.rows('average=PT30M&quantity=drift_corrected')).find((row) => row.startMs === startMs + 1.5 * hour)
    expect(await half()).toMatchObject({ valid: true })
    // 5 ppm of a span gas of 90 ppm since the check before: 5.6 %.
    expect(await night.check({ ...spanAfter, response: 83.6, performedMs: startMs + 5.9 * hour })).toMatchObject({
      ok: true,
    })
    expect(await half()).toMatchObject({ valid: false, reasons: expect.arrayContaining(['drift_beyond_limit']) })
    const { changes } = await night.amendments()
    expect(changes.at(-1)).toMatchObject({
      by: 'A. Tester',
      reason: expect.stringContaining('span check of co told: 83.6'),
    })
    expect((await flueledger('verify', night.recording)).status).toBe(0)
  })
})

test('while a run goes on a span check brings corrected averages, and taking it back takes them away', async () => {
  const night = await demoRecording('calm-night', withCorrections({ spanFrom: 'checks' }), hours)
  made.push(night)
  const file = join(night.folder, 'station.json')
  const station = JSON.parse(readFileSync(file, 'utf8')) as { streams: object[] }
  const source = { kind: 'file', path: join(night.folder, 'night.log'), from: 'start' }
  writeFileSync(file, JSON.stringify({ ...station, streams: station.streams.map((one) => ({ ...one, source })) }))
  const data = join(night.folder, 'data')
  const running = new Running('serve', '--station', file, '--data', data, '--port', '0')
  const address = await running.address()
  const rows = async (quantity: string): Promise<readonly AverageRow[]> => {
    const asked = `/api/recordings/current/blocks?channel=co&average=PT30M&quantity=${quantity}`
    return blocksAnswer.parse(await (await fetch(`${address}${asked}`)).json()).rows
  }
  const amend = async (request: object) =>
    amendAnswer.parse(
      await (await post(address, '/api/recordings/current/amend', { by: 'A. Tester', ...request })).json(),
    )
  await until('five half-hours are there', async () => (await rows('as_read')).length >= 5)
  expect(await rows('drift_corrected')).toEqual([])

  // 90 ppm of gas show as 87 ppm: a factor of 90 / 87 on every mean as read.
  const { id } = await amend({ do: 'check', channel: 'co', ...spanAfter, performedMs: startMs + hour })
  const corrected = await until('the corrected half-hours are there', async () => {
    const found = await rows('drift_corrected')
    return found.length >= 5 && found
  })
  const [asRead] = await rows('as_read')
  expect(corrected[0]?.mean).toBeCloseTo(((asRead?.mean ?? Number.NaN) * 90) / 87, 9)

  await amend({ do: 'withdraw', id, reason: 'wrong cylinder' })
  await until('they are gone', async () => (await rows('drift_corrected')).length === 0)
  const [recording = ''] = readdirSync(data).filter((name) => name.endsWith('-run.flue.sqlite'))
  // A stop does not wait long for averages that are still being formed: what is shown here is that all of them come.
  const settles = async () => (await flueledger('verify', join(data, recording))).status === 0
  await until('all averages are as the lines give them', settles)
  await running.stop()
  const verified = await flueledger('verify', join(data, recording))
  expect([verified.status, verified.err]).toEqual([0, ''])
})
