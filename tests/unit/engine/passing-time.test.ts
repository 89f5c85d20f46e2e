import { expect, test } from 'vitest'
import type { EngineEvent } from '../../../server/engine/events.ts'
import type { EngineOutput } from '../../../server/engine/outputs.ts'
import { withPassingTime } from '../../../server/engine/passing-time.ts'
import { createEngine } from '../../../server/engine/state.ts'
import { step } from '../../../server/engine/step.ts'
import { aNightStation, excluding, lines, minute, run, ten } from '../../support/engine-night.ts'

const station = aNightStation({ averaging: { blocks: ['PT1M', 'PT30M'], rolling: ['PT10M'] } })
const day = 24 * 60 * minute
const measuring = { mode: 'S', co: 50 }
/** Three days pass without a line in the middle of a run, and ten after its end until something is said of it. */
const events: EngineEvent[] = [
  run('start', ten),
  ...lines(ten, 90, minute, () => measuring),
  ...lines(ten + 3 * day, 90, minute, () => measuring),
  run('end', ten + 3 * day + 90 * minute),
  excluding(ten + 13 * day, ten, ten + minute),
]

/** All outputs, and the most that one step gave. */
function through(told: Iterable<EngineEvent>): { outputs: EngineOutput[]; most: number } {
  const engine = createEngine(station)
  const outputs: EngineOutput[] = []
  let most = 0
  for (const event of told) {
    const [, given] = step(engine, event)
    outputs.push(...given)
    most = Math.max(most, given.length)
  }
  return { outputs, most }
}

test('a gap of days gives the same in slices as in one step, and no slice is large', () => {
  const atOnce = through(events)
  const inSlices = through(withPassingTime(events))
  expect(inSlices.outputs).toEqual(atOnce.outputs)
  expect(atOnce.most).toBeGreaterThan(3 * 24 * 60)
  expect(inSlices.most).toBeLessThan(atOnce.most / 20)
})

test('no time is told before the first event, after the last, or up to what is only said of a run', () => {
  const told = [...withPassingTime(events)].filter(({ kind }) => kind === 'time')
  expect(told.map(({ atMs }) => (atMs - ten) / minute)).toEqual(
    Array.from({ length: 70 }, (_, hour) => 89 + 60 * (hour + 1)),
  )
})
