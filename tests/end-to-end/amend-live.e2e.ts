import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod/mini'
import { amendAnswer, amendmentsAnswer } from '../../protocols/live/amend.ts'
import { compareAnswer } from '../../protocols/live/compare.ts'
import { explainAnswer } from '../../protocols/live/explain.ts'
import { blocksAnswer, logbookAnswer } from '../../protocols/live/requests.ts'
import { endAll, flueledger, post, Running, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'amend-live-'))
const data = join(folder, 'data')
const minute = 60_000
afterAll(async () => {
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

const halfHours = async (address: string) => {
  const answer = await fetch(`${address}/api/recordings/current/blocks?average=PT30M&channel=co&quantity=as_read`)
  return blocksAnswer.parse(await answer.json()).rows
}
const amend = async (address: string, request: object) => {
  const answer = await post(address, '/api/recordings/current/amend', request)
  return { status: answer.status, ...z.partial(amendAnswer).parse(await answer.json()) }
}

test('a stretch is excluded while the run goes on: its averages follow, stay through a stop and a kill, and verify', async () => {
  let demo = new Running('demo', '--port', '0', '--data', data)
  let address = await demo.address()
  const before = await until('six valid half-hours', async () => {
    const rows = (await halfHours(address)).filter(({ valid }) => valid)
    return rows.length >= 6 && rows
  })
  const asked = before[3]
  expect(asked).toBeDefined()
  const { startMs = 0, mean = null, count = 0 } = asked ?? {}

  // What cannot be is refused with what is allowed.
  expect(await amend(address, { do: 'exclude', by: 'A. Tester', fromMs: 0, toMs: 1, reason: 'x' })).toMatchObject({
    status: 400,
    errors: [expect.stringContaining('must lie within the run, from')],
  })
  expect((await amend(address, { do: 'exclude', by: '', fromMs: 0, toMs: 1, reason: 'x' })).status).toBe(400)

  const stretch = { fromMs: startMs + 3 * minute, toMs: startMs + 8 * minute }
  expect(await amend(address, { do: 'exclude', by: 'A. Tester', ...stretch, reason: 'probe was out' })).toMatchObject({
    status: 200,
    id: 'exclusion-1',
    changed: null,
  })
  const changed = await until('the half-hour says that something was excluded', async () =>
    (await halfHours(address)).find((row) => row.startMs === startMs && row.reasons.includes('excluded')),
  )
  expect(changed.count).toBe(count - 300)

  const told = amendmentsAnswer.parse(await (await fetch(`${address}/api/recordings/current/amendments`)).json())
  expect(told.exclusions).toMatchObject([{ id: 'exclusion-1', ...stretch, by: 'A. Tester', reason: 'probe was out' }])
  expect(
    told.changes.find(
      ({ old }) =>
        old.startMs === startMs && old.average === 'PT30M' && old.channel === 'co' && old.quantity === 'as_read',
    ),
  ).toMatchObject({ by: 'A. Tester', old: { mean, count }, new: { mean: changed.mean } })
  const entries = logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json()).entries
  expect(entries.some(({ text, by }) => text.includes('probe was out') && by === 'A. Tester')).toBe(true)

  const explained = explainAnswer.parse(
    await (
      await fetch(
        `${address}/api/recordings/current/explain?block=${startMs}&channel=co&average=PT30M&quantity=as_read&from=200&most=50`,
      )
    ).json(),
  )
  expect([explained.agrees, explained.readings.length, explained.readingsInAll]).toEqual([true, 50, 1800])
  expect(explained.stretches.some(({ reason, readings }) => reason === 'co: excluded' && readings === 300)).toBe(true)
  expect((await fetch(`${address}/api/recordings/current/explain?block=${startMs + 1}&channel=co`)).status).toBe(404)

  const tried = await post(address, '/api/recordings/current/compare', {
    set: { 'averaging.validity': { rule: 'fraction', minimum: '9/10' } },
    channel: 'co',
    average: 'PT30M',
    quantity: 'as_read',
  })
  const compared = compareAnswer.parse(await tried.json())
  expect(compared.rows.find((row) => row.startMs === startMs)).toMatchObject({ difference: 0, tried: { valid: false } })
  expect((await post(address, '/api/recordings/current/compare', { set: { 'averaging.rolling': 'x' } })).status).toBe(
    400,
  )

  // An orderly stop and a kill: what was amended stays, and rows to come are formed as amended.
  await demo.endsInOrder()
  demo = new Running('demo', '--port', '0', '--data', data)
  address = await demo.address()
  expect((await halfHours(address)).find((row) => row.startMs === startMs)).toEqual(changed)
  expect(
    await amend(address, { do: 'withdraw', by: 'B. Tester', id: 'exclusion-1', reason: 'it was in' }),
  ).toMatchObject({ status: 200 })
  expect(
    await until('the half-hour is as it was', async () =>
      (await halfHours(address)).find((row) => row.startMs === startMs && !row.reasons.includes('excluded')),
    ),
  ).toEqual(asked)
  expect(
    await amend(address, { do: 'exclude', by: 'A. Tester', ...stretch, channel: 'co', reason: 'cell was wet' }),
  ).toMatchObject({ id: 'exclusion-3' })
  await demo.stop('SIGKILL')
  demo = new Running('demo', '--port', '0', '--data', data)
  address = await demo.address()
  const afterKill = await until('the half-hour is amended again', async () =>
    (await halfHours(address)).find((row) => row.startMs === startMs && row.reasons.includes('excluded')),
  )
  expect(afterKill.mean).toBe(changed.mean)
  await demo.endsInOrder()

  const file = readdirSync(data).find((name) => name.endsWith('.flue.sqlite') && !name.includes('standby')) ?? ''
  const verified = await flueledger('verify', join(data, file))
  expect([verified.status, verified.out]).toEqual([0, expect.stringContaining('amended by 1 exclusions')])
})
