import { expect, test } from 'vitest'
import { mostKept, mostWaiting } from '../../../server/station/most-waiting.ts'
import { RecordingChange, type Recordings } from '../../../server/station/recording-change.ts'

const recordings = (more: Partial<Recordings>): Recordings => ({
  now: () => ({ atMs: 0, monotonicMs: 0 }),
  isOpen: () => true,
  standBy: async () => {},
  stuck: () => {},
  take: () => {},
  lose: () => {},
  changed: () => {},
  warn: () => {},
  ...more,
})

test('while no recording can be opened, sources that can wait do, and of those that cannot it is known how many lines were lost', async () => {
  let isOpen = false
  let hasFailed = (): void => {}
  const failed = new Promise<void>((resolve) => {
    hasFailed = resolve
  })
  const taken: number[] = []
  const lost: number[] = []
  const change = new RecordingChange(
    recordings({
      isOpen: () => isOpen,
      standBy: async () => {
        if (!isOpen) throw new Error('the disk is full')
      },
      stuck: hasFailed,
      take: ({ atMs }) => void taken.push(atMs),
      lose: (inputs) => void lost.push(inputs),
    }),
  )
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

test('who waits for a run that ends is told whether averages are being formed or the disk takes no recording', async () => {
  let end = (): void => {}
  const ended = new Promise<void>((resolve) => {
    end = resolve
  })
  let isOpen = true
  const change = new RecordingChange(
    recordings({
      isOpen: () => isOpen,
      standBy: async () => {
        throw new Error('the disk is full')
      },
    }),
    50,
  )
  expect(await change.settled()).toBe('over')
  void change.begin(() => ended)
  expect(await change.settled()).toBe('busy')
  isOpen = false
  end()
  expect(await change.settled()).toBe('stuck')
  isOpen = true
  while ((await change.settled()) !== 'over');
})

test('a run that ends among the inputs that waited ends, and the next one begins, at that input and not later than those behind it', async () => {
  const instants: number[] = []
  const taken: number[] = []
  const come = (atMs: number): void => take({ kind: 'clock', change: 'sleep', byMs: 0, speed: 1, atMs, monotonicMs: 0 })
  const take: Recordings['take'] = (input) => {
    if (change.isOn) return change.hold(input)
    taken.push(input.atMs)
    if (input.atMs === 20) void change.begin(next)
  }
  const change = new RecordingChange(recordings({ now: () => ({ atMs: 500, monotonicMs: 500 }), take }))
  const next = async (): Promise<void> => {
    instants.push(change.instant.atMs)
  }
  void change.begin(next)
  for (const atMs of [10, 20, 30]) come(atMs)
  await change.settled()
  expect(instants).toEqual([500, 20])
  expect(taken).toEqual([10, 20, 30])
})
