import { join } from 'node:path'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { OperatorAction } from '../../../server/engine/events.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import type { RecordedRun } from '../../../server/station/recorded-run.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import {
  aNightStation,
  excluding,
  gas,
  lines,
  minute,
  operator,
  run as runEvent,
  ten,
} from '../../support/engine-night.ts'

const station = aNightStation({
  channels: [gas('co')],
  corrections: { spanFrom: 'checks' },
  averaging: { blocks: ['PT10M'], rolling: ['PT30M'] },
})
const endMs = ten + 120 * minute

/** Two hours at a line a second: work that lasts longer than telling two amendments. */
async function twoHours(): Promise<RecordedRun> {
  const run = await aRecordedRun(join(aFolder(), 'night.flue.sqlite'), station, { now: () => endMs })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 7200, 1000, () => ({ mode: 'S', co: 45 }))) run.take(line)
  return run
}

function excludedIn(path: string): boolean {
  const reader = openRecording(path)
  try {
    return reader.blocks().some(({ reasons }) => reasons.includes('excluded'))
  } finally {
    reader.close()
  }
}

const inOrder = (rows: readonly AverageRow[]): readonly AverageRow[] =>
  [...rows].sort((a, b) => averageKey(a).localeCompare(averageKey(b)))

async function expectScreensShowWhatIsStored(run: RecordedRun): Promise<void> {
  await run.readableAsAmended()
  const { recentBlocks, rolling } = run.view.snapshot()
  const reader = openRecording(run.writer.path)
  const stored = { blocks: reader.blocks(), rolling: reader.rolling() }
  reader.close()
  expect(inOrder(recentBlocks)).toEqual(inOrder(stored.blocks))
  for (const row of rolling) expect(stored.rolling).toContainEqual(row)
}

test('screens show what an amendment changed that was followed by another before it was worked through', async () => {
  const run = await twoHours()
  run.take(excluding(endMs, ten + 11 * minute, ten + 19 * minute))
  // What it changes comes early on the way through the run.
  while (!excludedIn(run.writer.path)) await nextTurn()
  run.take(excluding(endMs, ten + 100 * minute, ten + 105 * minute, 'exclusion-2'))
  await expectScreensShowWhatIsStored(run)
  const excluded = run.view.snapshot().recentBlocks.filter(({ reasons }) => reasons.includes('excluded'))
  expect(new Set(excluded.map(({ startMs }) => (startMs - ten) / minute))).toEqual(new Set([10, 100]))
  await run.close()
})

test('what one amendment ends goes too where another was told before it was worked through, and the history names both', async () => {
  const run = await twoHours()
  const check = { id: 'check-1-span-co', kind: 'span', channel: 'co', expected: 90, response: 87 } as const
  run.take(operator(endMs, { do: 'check', check: { ...check, performedMs: ten, direct: null, gas: 'invented 7' } }))
  await run.readableAsAmended()
  run.take(operator(endMs, { do: 'withdraw', id: 'check-1-span-co', reason: 'wrong cylinder' }))
  run.take({ ...excluding(endMs, ten + 11 * minute, ten + 19 * minute), by: 'B. Tester' })
  await expectScreensShowWhatIsStored(run)
  const { path } = run.writer
  await run.close()
  expect(verifyRecording(path).recomputation.faults).toEqual([])
  const reader = openRecording(path)
  const gone = [...reader.history()].filter(({ new: is }) => is === null)
  reader.close()
  expect(gone.length).toBeGreaterThan(0)
  expect(new Set(gone.map(({ by, reason }) => `${by}: ${reason}`))).toEqual(
    new Set(['A. Tester, B. Tester: withdrawn check-1-span-co: wrong cylinder; excluded: probe was out']),
  )
})

test('screens show the averages that a check brings, and no longer those that its withdrawal takes away', async () => {
  const run = await twoHours()
  const check = { id: 'check-1-span-co', kind: 'span', channel: 'co', expected: 90, response: 87 } as const
  const told: OperatorAction = { do: 'check', check: { ...check, performedMs: ten, direct: null, gas: 'invented 7' } }
  run.take(operator(endMs, told))
  await expectScreensShowWhatIsStored(run)
  expect(run.view.snapshot().recentBlocks.filter(({ quantity }) => quantity === 'drift_corrected')).toHaveLength(11)
  run.take(operator(endMs, { do: 'withdraw', id: 'check-1-span-co', reason: 'wrong cylinder' }))
  await expectScreensShowWhatIsStored(run)
  await run.close()
})
