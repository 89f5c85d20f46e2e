import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { OperatorAction } from '../../../server/engine/events.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, gas, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

const check: OperatorAction = {
  do: 'check',
  check: {
    id: 'check-1-span-co',
    kind: 'span',
    channel: 'co',
    performedMs: ten + 30 * minute,
    expected: 90,
    response: 87,
    direct: null,
    gas: 'invented 7',
  },
}

/** An hour of lines, then none: time alone brings the last half-hour. Amended, and taken back, while time passes. */
async function amendedWhileTimePasses(path: string): Promise<void> {
  const station = aNightStation({
    channels: [gas('co')],
    corrections: { spanFrom: 'checks' },
    averaging: { blocks: ['PT1M', 'PT30M'] },
  })
  let nowMs = ten
  const run = await aRecordedRun(path, station, { now: () => nowMs })
  const passes = async (turns: number): Promise<void> => {
    for (let turn = 0; turn < turns; turn++) {
      nowMs += 1000
      run.pass(nowMs, 0)
      await new Promise((resolve) => setTimeout(resolve, 1))
    }
  }
  const tell = (action: OperatorAction): unknown =>
    run.take({ kind: 'operator', by: 'A. Tester', action, atMs: nowMs, monotonicMs: 0 })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 60, minute, () => ({ mode: 'S', co: 45 }))) run.take(line)
  nowMs = ten + 65 * minute
  run.pass(nowMs, 0)
  tell(check)
  await passes(60)
  tell({ do: 'withdraw', id: 'check-1-span-co', reason: 'wrong cylinder' })
  await passes(60)
  run.take(runEvent('end', nowMs))
  await run.close()
}

test('averages that time alone brought are still there after an amendment that is told while time passes', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  await amendedWhileTimePasses(path)
  const reader = openRecording(path)
  const asRead = reader.blocks({ average: 'PT30M', quantity: 'as_read' }).map(({ startMs, mean }) => [startMs, mean])
  const gone = reader.history().filter((entry) => entry.new === null)
  reader.close()
  expect(asRead).toEqual([
    [ten, 45],
    [ten + 30 * minute, 45],
    // The run goes on for some minutes without a line.
    [ten + 60 * minute, null],
  ])
  expect([...new Set(gone.map(({ old }) => old.quantity))]).toEqual(['drift_corrected'])
  expect(verifyRecording(path).recomputation.faults).toEqual([])
})
