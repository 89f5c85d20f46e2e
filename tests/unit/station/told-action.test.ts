import { join } from 'node:path'
import { expect, test } from 'vitest'
import { actionRequest } from '../../../protocols/live/requests.ts'
import type { RecordedRun } from '../../../server/station/recorded-run.ts'
import { toldAction } from '../../../server/station/told-action.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, lines, minute, operator, run as runEvent, ten } from '../../support/engine-night.ts'

const station = aNightStation({
  phases: { from: ['status', 'operator'], settle: { seconds: 0 } },
  limits: [{ id: 'co', channel: 'co', of: 'reading', value: 20, unit: 'ppm' }],
})
const nowMs = ten + 20 * minute

/** Twenty minutes above the limit. */
async function aRunInAlarm(): Promise<RecordedRun> {
  const run = await aRecordedRun(join(aFolder(), 'night.flue.sqlite'), station, { now: () => nowMs })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 20, minute, () => ({ mode: 'S', co: 45 }))) run.take(line)
  return run
}
const told = (run: RecordedRun, request: object) =>
  toldAction(actionRequest.parse({ by: 'A. Tester', ...request }), station, run, nowMs)

test('an alarm shelved for a fraction of a minute is recorded with all that follows', async () => {
  const run = await aRunInAlarm()
  const shelved = told(run, { do: 'shelve', alarm: 'limit:co', minutes: 0.123456, note: 'burner off' })
  if (!shelved.ok) throw new Error(shelved.errors.join())
  run.take(operator(nowMs, shelved.action))
  run.take(runEvent('end', nowMs + 10 * minute))
  const { path } = run.writer
  await run.close()
  expect(verifyRecording(path).recomputation.faults).toEqual([])
})

test('what can never have been told so is refused, since what is recorded cannot be put right any more', async () => {
  const run = await aRunInAlarm()
  const note = { do: 'note', text: 'probe moved' }
  expect(told(run, { ...note, pressedMs: -1e300 })).toMatchObject({ ok: false, status: 400 })
  expect(told(run, { ...note, pressedMs: nowMs - 0.25 })).toMatchObject({ action: { pressedMs: nowMs } })
  expect(told(run, { do: 'mark-phase', stream: 'outlet', phase: 'purge' })).toMatchObject({
    ok: false,
    status: 404,
    errors: ['stream: there is no “outlet”; there are main, or null for all'],
  })
  await run.close()
})

test('two checks of a channel that are told in one millisecond can be taken back one by one', async () => {
  const run = await aRunInAlarm()
  const check = { do: 'check', kind: 'zero', channel: 'co', expected: 0, response: 0.4, gas: 'invented cylinder 7' }
  const ids = [told(run, check), told(run, check)].map((outcome) => {
    if (!outcome.ok || outcome.action.do !== 'check') throw new Error('both are taken')
    return outcome.action.check.id
  })
  expect(ids).toEqual([`check-${nowMs}-zero-co`, `check-${nowMs + 1}-zero-co`])
  await run.close()
})
