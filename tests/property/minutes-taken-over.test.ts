import fc from 'fast-check'
import { expect, test } from 'vitest'
import { Accumulator } from '../../server/engine/averaging/accumulator.ts'

/** Two groups, the second of two lanes. */
const laneStart = Int32Array.of(0, 1, 3)
interface Told {
  readonly group: number
  readonly value: number
  readonly ms: number
  readonly isPoint: boolean
}
const reading: fc.Arbitrary<Told> = fc.record({
  group: fc.constantFrom(0, 1),
  value: fc.double({ min: -1e6, max: 1e6, noNaN: true }),
  ms: fc.integer({ min: 1, max: 60_000 }),
  // The tail of a reading from before the minute weighs and is no point of it.
  isPoint: fc.boolean(),
})
const minutes = fc.array(fc.array(reading, { maxLength: 8 }), { minLength: 1, maxLength: 6 })

type Minute = readonly Told[]

function minuteOf(readings: Minute, startMs: number): Accumulator {
  const minute = new Accumulator(laneStart)
  readings.forEach(({ group, value, ms, isPoint }, place) => {
    minute.weightMs[group] = (minute.weightMs[group] as number) + ms
    for (let lane = laneStart[group] as number; lane < (laneStart[group + 1] as number); lane++)
      minute.integral[lane] = (minute.integral[lane] as number) + value * ms
    if (isPoint) minute.addPoint(group, value, startMs + place)
  })
  minute.runningMs = 60_000
  minute.remarks = readings.length
  return minute
}

const figuresOf = (stretch: Accumulator) => [
  ...['weightMs', 'integral', 'count', 'centre', 'squares', 'minimum', 'maximum', 'firstMs', 'lastMs', 'quadrants'].map(
    (name) => Array.from(stretch[name as 'weightMs']),
  ),
  [0, 1].map((group) => stretch.variation.of(group, stretch.count[group] as number, stretch.squares[group] as number)),
  [stretch.runningMs, stretch.operatedQuadrants, stretch.qualityAssurance, stretch.remarks],
]

test('a stretch that is taken over whole is what an empty one becomes by merging it, and merges on alike', () => {
  fc.assert(
    fc.property(minutes, minutes, (before, after) => {
      const stretchOf = (told: readonly Minute[]): Accumulator => {
        const total = new Accumulator(laneStart)
        told.forEach((readings, place) => {
          total.merge(minuteOf(readings, place * 60_000), 0)
        })
        return total
      }
      for (const other of [stretchOf(before), minuteOf(before[0] ?? [], 0)]) {
        const merged = new Accumulator(laneStart)
        merged.merge(other, 0)
        // Whatever stood in it before is gone.
        const taken = stretchOf(after)
        taken.takeOver(other)
        expect(figuresOf(taken)).toEqual(figuresOf(merged))
        for (const stretch of [taken, merged]) stretch.merge(minuteOf(after[0] ?? [], 600_000), 0)
        expect(figuresOf(taken)).toEqual(figuresOf(merged))
      }
    }),
  )
})
