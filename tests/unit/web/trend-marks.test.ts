import { expect, test } from 'vitest'
import type { SnapshotMessage } from '../../../protocols/live/messages.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { firstView, stepView } from '../../../web/store.ts'
import { marksOf } from '../../../web/views/watch/trend-marks.ts'
import { anAverage } from '../../support/an-average.ts'
import { logbookUpTo } from '../../support/fixture-live/happenings.ts'
import { snapshotAt } from '../../support/fixture-live/snapshot.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const manual = { alarms: [], logbook: logbookUpTo(nowMs), runState: 'running' as const, silentSinceMs: null }

test('over a trace lie only means and limits in its unit, where others are formed of the same gas', () => {
  const snapshot = snapshotAt(nowMs, 1, manual, { mode: 'live', playback: null, speed: 1 })
  const co = snapshot.channels.find(({ id }) => id === 'co')
  const [limit] = snapshot.limits
  if (!co || !limit) throw new Error('the invented station has no CO or no limit')
  const half = { average: 'PT30M' as IsoDuration, startMs: nowMs - 1_800_000, endMs: nowMs - 1 }
  const mean = { ...half, quantity: 'drift_corrected', state: 'final' } as const
  const ofCo = { ...limit, channel: 'co', average: half.average, quantity: 'drift_corrected' } as const
  const message: SnapshotMessage = {
    ...snapshot,
    openBlocks: [],
    recentBlocks: [anAverage({ ...mean, unit: 'ppb', mean: 100_000 }), anAverage({ ...mean, unit: 'ppm', mean: 100 })],
    limits: [
      { ...ofCo, unit: 'ppm', value: 120 },
      { ...ofCo, id: 'in-ppb', unit: 'ppb', value: 200 },
    ],
  }
  const { station } = stepView(firstView(0), { kind: 'message', message, pageMs: 0 })
  if (!station) throw new Error('a snapshot gave no station')
  const feed = { average: half.average, steps: new Map() }
  const nothing = { parts: [], shades: [], apart: [], ofChannels: [], words: new Set<string>() }
  const marks = marksOf(station, feed, co, 'corrected', half.average, nothing, nowMs)
  expect(marks.steps.map((step) => [step.mean, step.isBeyond])).toEqual([[100, false]])
  expect(marks.limits.map(({ value }) => value)).toEqual([120])
})
