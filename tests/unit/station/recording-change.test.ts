import { expect, test } from 'vitest'
import { mostKept, mostWaiting } from '../../../server/station/most-waiting.ts'
import { RecordingChange } from '../../../server/station/recording-change.ts'

test('while no recording can be opened, sources that can wait do, and of those that cannot it is known how many lines were lost', async () => {
  let isOpen = false
  let hasFailed = (): void => {}
  const failed = new Promise<void>((resolve) => {
    hasFailed = resolve
  })
  const taken: number[] = []
  const lost: number[] = []
  const change = new RecordingChange({
    now: () => ({ atMs: 0, monotonicMs: 0 }),
    isOpen: () => isOpen,
    standBy: async () => {
      if (!isOpen) throw new Error('the disk is full')
    },
    stuck: hasFailed,
    take: ({ atMs }) => void taken.push(atMs),
    lose: (inputs) => void lost.push(inputs),
    changed: () => {},
    warn: () => {},
  })
  void change.begin(async () => {})
  await failed
  const come = (from: number, to: number): void => {
    for (let atMs = from; atMs < to; atMs++)
      change.hold({ kind: 'clock', change: 'sleep', byMs: 0, speed: 1, atMs, monotonicMs: 0 })
  }
  come(0, mostWaiting)
  expect(await change.hasRoom()).toBe(true)
  come(mostWaiting, mostKept + 30)
  let isRoomAgain = false
  const room = change.hasRoom().then(() => {
    isRoomAgain = true
  })
  await Promise.resolve()
  expect(isRoomAgain).toBe(false)
  expect(change.waits).toBe(mostKept + 30)

  isOpen = true
  await room
  expect(taken).toHaveLength(mostKept)
  expect(taken.every((atMs, place) => atMs === place)).toBe(true)
  expect(lost).toEqual([30])
})
