import { expect, test } from 'vitest'
import type { RecordedEvent } from '../../../server/engine/events.ts'
import { createEngine } from '../../../server/engine/state.ts'
import { step } from '../../../server/engine/step.ts'
import { LiveView } from '../../../server/station/live-view.ts'
import { aNightStation, during, lines, minute, ten } from '../../support/engine-night.ts'

const station = aNightStation({
  corrections: { zero: 'interpolated' },
  averaging: { blocks: ['PT30M'], rolling: ['PT10M'] },
})
/** Purges of five minutes at 0 and 60, with zeros of 2 and 8 ppm. */
const night = during(
  ten,
  ten + 90 * minute,
  lines(ten, 90, minute, (number) =>
    number < 5 || (number >= 60 && number < 65) ? { mode: 'P', co: number < 5 ? 2 : 8 } : { mode: 'S', co: 50 },
  ),
)

test('a row that became final stands once on screens, and no older rolling average comes back', () => {
  const engine = createEngine(station)
  const view = new LiveView(station, engine, {
    mode: 'live',
    invented: true,
    now: () => ten,
    speed: () => 1,
    run: () => null,
    recording: () => null,
    playback: () => null,
    warnings: () => [],
  } as unknown as ConstructorParameters<typeof LiveView>[2])
  const rolling: number[] = []
  for (const event of night as RecordedEvent[]) {
    const [, outputs] = step(engine, event)
    for (const told of view.take(event, outputs))
      if (told.type === 'rolling' && told.row.quantity === 'drift_corrected') rolling.push(told.row.endMs)
  }
  const blocks = view
    .snapshot()
    .recentBlocks.filter(({ quantity }) => quantity === 'drift_corrected')
    .map(({ startMs, state }) => [(startMs - ten) / minute, state])
  expect(blocks).toEqual([
    [0, 'final'],
    [30, 'final'],
    [60, 'final'],
  ])
  expect(rolling).toEqual([...rolling].sort((a, b) => a - b))
})
