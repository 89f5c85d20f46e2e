import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { StreamHistory } from '../../../web/history.ts'

const second = 1000
const aHistory = (capacity = 4096) => new StreamHistory(['co', 'o2'], second, capacity)
const push = (history: StreamHistory, atSeconds: number, co: number | null, keepFromMs = Number.NEGATIVE_INFINITY) =>
  history.push(atSeconds * second, (channel) => (channel === 'co' ? co : 5), keepFromMs)
const shown = (history: StreamHistory, toSeconds: number, pixels = 1000) =>
  history.picture('co', 0, toSeconds * second, pixels)

describe('gaps', () => {
  test('a gap of more than one and a half steps breaks the line', () => {
    const history = aHistory()
    for (const at of [0, 1, 2, 5, 6]) push(history, at, 10)
    expect(shown(history, 10)).toEqual({ x: [0, 1, 2, 3, 5, 6], y: [10, 10, 10, null, 10, 10] })
    expect(history.gaps(0, 10_000, 0)).toEqual([{ startMs: 3000, endMs: 5000 }])
  })
  test('a line that is half a step late breaks nothing', () => {
    const history = aHistory()
    for (const at of [0, 1, 2.5, 3.5]) push(history, at, 10)
    expect(shown(history, 10).y).not.toContain(null)
    expect(history.gaps(0, 10_000, 0)).toEqual([])
  })
  test('a reading in which the channel has no value breaks its line, and no gap is said of the stream', () => {
    const history = aHistory()
    for (const [at, co] of [
      [0, 10],
      [1, null],
      [2, 12],
    ] as const)
      push(history, at, co)
    expect(shown(history, 10).y).toEqual([10, null, 12])
    expect(history.gaps(0, 10_000, 0)).toEqual([])
  })
  test('an empty column of a down-sampled stretch is a gap', () => {
    const history = aHistory()
    history.load({
      fromMs: 0,
      toMs: 40_000,
      columnMs: 10_000,
      atMs: [0, 10_000, 20_000, 30_000],
      channels: { co: { low: [1, null, 2, 3], high: [4, null, 5, 6], last: [2, null, 4, 4] } },
    })
    expect(history.gaps(0, 40_000, 0)).toEqual([{ startMs: 10_000, endMs: 20_000 }])
    // Of each column the end comes first that is nearer to where the line stands.
    expect(history.picture('co', 0, 40_000, 4).y).toEqual([1, 4, null, 2, 5, 6, 3])
  })
})

describe('an answer that reaches less far than what was heard', () => {
  const answer = {
    fromMs: 0,
    toMs: 30_000,
    columnMs: 10_000,
    atMs: [0, 10_000, 20_000],
    // The newest column is not stored yet.
    channels: { co: { low: [1, 2, null], high: [1, 2, null], last: [1, 2, null] } },
  }
  const heard = () => {
    const history = aHistory()
    for (let at = 15; at < 40; at++) push(history, at, at)
    return history
  }

  test('leaves what was heard since', () => {
    const history = heard()
    history.load(answer, true)
    expect(history.gaps(0, 40_000, 0)).toEqual([])
    expect(shown(history, 40).y).toEqual([1, 2, ...Array.from({ length: 20 }, (_, number) => 20 + number)])
  })
  test('takes the place of everything where another value or run is shown from now on', () => {
    const history = heard()
    history.load(answer)
    expect(shown(history, 40).y).toEqual([1, 2])
  })
})

test('readings go on from a down-sampled stretch without doubling its last column', () => {
  const history = aHistory()
  history.load({
    fromMs: 0,
    toMs: 14_000,
    columnMs: 10_000,
    atMs: [0, 10_000],
    channels: { co: { low: [1, 2], high: [1, 2], last: [1, 2] } },
  })
  push(history, 12, 99)
  expect(history.length).toBe(2)
  push(history, 14, 3)
  expect(shown(history, 20).y).toEqual([1, 2, 3])
})

test('the same reading twice, or an older one, adds nothing', () => {
  const history = aHistory()
  for (const at of [3, 3, 2]) push(history, at, 1)
  expect(history.length).toBe(1)
})

describe('bounds', () => {
  test('a full history lets go of what lies before the window first', () => {
    const history = aHistory(100)
    for (let at = 0; at < 500; at++) push(history, at, at, (at - 50) * second)
    expect(history.length).toBeLessThanOrEqual(100)
    expect(history.picture('co', 460 * second, 500 * second, 1000).y).toEqual(
      Array.from({ length: 41 }, (_, index) => 459 + index),
    ) // The row that ends at the edge joins it.
  })
  test('where all is in the window neighbours are folded, and the extremes stay', () => {
    const history = aHistory(100)
    for (let at = 0; at < 5000; at++) push(history, at, at === 1234 ? 900 : at === 3333 ? -50 : 10, 0)
    const { y } = shown(history, 5000)
    expect(history.length).toBeLessThanOrEqual(100)
    expect(Math.max(...y.map((value) => value ?? 0))).toBe(900)
    expect(Math.min(...y.map((value) => value ?? 0))).toBe(-50)
    expect(y).not.toContain(null)
  })
  test('folding never bridges a gap', () => {
    const history = aHistory(64)
    for (let at = 0; at < 1000; at++) if (at < 400 || at >= 500) push(history, at, 1, 0)
    expect(history.gaps(0, 1_000_000, 0)).toEqual([{ startMs: 400_000, endMs: 500_000 }])
  })
  test('a history of nothing but gaps stays bounded too', () => {
    const history = aHistory(64)
    for (let at = 0; at < 1000; at++) push(history, at * 10, 1, 0)
    expect(history.length).toBeLessThanOrEqual(64)
  })
})

test('whatever comes, a picture has at most two values a pixel column, keeps the extremes and never runs backwards', () => {
  const step = fc.record({
    wait: fc.integer({ min: 1, max: 4 }),
    co: fc.option(fc.integer({ min: -20, max: 500 }), { freq: 8 }),
  })
  fc.assert(
    fc.property(fc.array(step, { minLength: 1, maxLength: 300 }), fc.integer({ min: 1, max: 60 }), (steps, pixels) => {
      const history = aHistory()
      let at = 0
      const values: number[] = []
      for (const { wait, co } of steps) {
        push(history, at, co)
        if (co !== null) values.push(co)
        at += wait
      }
      const { x, y } = shown(history, at, pixels)
      const drawn = y.filter((value) => value !== null)
      expect(drawn.length).toBeLessThanOrEqual(2 * (pixels + 1))
      expect(x.every((value, index) => index === 0 || value >= (x[index - 1] ?? 0))).toBe(true)
      expect([Math.min(...drawn), Math.max(...drawn)]).toEqual([Math.min(...values), Math.max(...values)])
    }),
  )
})
