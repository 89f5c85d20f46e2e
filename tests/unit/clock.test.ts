import { expect, test } from 'vitest'
import { type ClockChange, stationClock, watchClock } from '../../server/clock.ts'
import { TurnedClock } from '../support/turned-clock.ts'

const hour = 3_600_000
const clockOn = (machine: TurnedClock, more: Parameters<typeof stationClock>[0] = {}) =>
  stationClock({ clocks: machine, after: machine.after, ...more })

test('station time begins at the wall clock and passes with monotonic time', async () => {
  const machine = new TurnedClock()
  const begin = machine.wall
  const clock = clockOn(machine)
  await machine.pass(1500)
  expect(clock.stationMs()).toBe(begin + 1500)
})

test.each([hour, -2 * hour, 30])('a wall clock that jumps by %d ms does not move station time', async (jump) => {
  const machine = new TurnedClock()
  const begin = machine.wall
  const clock = clockOn(machine)
  machine.wall += jump
  await machine.pass(1000)
  expect(clock.stationMs()).toBe(begin + 1000)
})

test('station time begins no earlier than the last recorded instant', () => {
  const machine = new TurnedClock(0) // a computer without a battery clock, in 1970
  const recorded = Date.UTC(2026, 0, 15)
  expect(clockOn(machine, { notBeforeMs: recorded }).stationMs()).toBe(recorded)
})

test('a changed speed bends station time, it does not break it', async () => {
  const machine = new TurnedClock()
  const begin = machine.wall
  const clock = clockOn(machine, { speed: 60 })
  await machine.pass(1000)
  const before = clock.stationMs()
  clock.setSpeed(2)
  const behind = clock.stationMs()
  await machine.pass(1000)
  expect([before, behind, clock.stationMs()]).toEqual([begin + 60_000, begin + 60_000, begin + 62_000])
})

test('at speed 7 a night begun eight hours ago meets the wall clock after 80 minutes, and goes on at 1', async () => {
  const machine = new TurnedClock()
  const clock = clockOn(machine, { startMs: machine.wall - 8 * hour })
  const met: number[] = []
  clock.catchUp(7, (at) => met.push(at))
  await machine.pass(hour) // 8 h behind less 6 h made up
  expect(clock.stationMs()).toBe(machine.wall - 2 * hour)
  expect(clock.speed()).toBe(7)
  await machine.pass(hour)
  expect(clock.stationMs()).toBe(machine.wall)
  expect(clock.speed()).toBe(1)
  expect(met).toEqual([machine.wall - (2 * hour - (8 / 6) * hour)])
})

test('catching up never overshoots, however rarely the clock is read', async () => {
  const machine = new TurnedClock()
  const clock = clockOn(machine, { startMs: machine.wall - 1000 })
  clock.catchUp(1000, () => {})
  await machine.pass(10 * hour)
  expect(clock.stationMs()).toBe(machine.wall)
})

test('a station clock that is ahead of the wall clock has nothing to catch up and stays ahead', async () => {
  const machine = new TurnedClock()
  const clock = clockOn(machine, { notBeforeMs: machine.wall + hour })
  const met: number[] = []
  clock.catchUp(60, (at) => met.push(at))
  await machine.pass(1000)
  expect(met).toEqual([machine.wall - 1000 + hour])
  expect(clock.stationMs()).toBe(machine.wall + hour)
})

test('a speed that is set ends the catching up', async () => {
  const machine = new TurnedClock()
  const clock = clockOn(machine, { startMs: machine.wall - hour })
  clock.catchUp(60, () => expect.fail('it did not meet'))
  clock.setSpeed(1)
  await machine.pass(hour)
  expect(clock.stationMs()).toBe(machine.wall - hour)
})

test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a clock refuses the speed %d', (speed) => {
  expect(() => clockOn(new TurnedClock()).setSpeed(speed)).toThrow(/above 0/)
})

async function changesSeen(happen: (machine: TurnedClock) => void): Promise<ClockChange[]> {
  const machine = new TurnedClock()
  const seen: ClockChange[] = []
  const stop = watchClock((change) => seen.push(change), { clocks: machine, after: machine.after })
  await machine.pass(5000)
  happen(machine)
  await machine.pass(5000)
  stop()
  expect(machine.waiting).toBe(0)
  return seen
}

test.each([hour, -2 * hour, 30, -30])('a wall clock that jumps alone by %d ms is a step of that size', async (jump) => {
  const seen = await changesSeen((machine) => {
    machine.wall += jump
  })
  expect(seen).toEqual([{ change: 'step', byMs: jump }])
})

test('uptime and wall clock that go on without monotonic time are a sleep', async () => {
  const seen = await changesSeen((machine) => {
    machine.wall += 600_000
    machine.upTime += 600_000
  })
  expect(seen).toEqual([{ change: 'sleep', byMs: 600_000 }])
})

test('a clock that is set after a sleep is told apart from it', async () => {
  const seen = await changesSeen((machine) => {
    machine.wall += 600_000 + 2500
    machine.upTime += 600_000
  })
  expect(seen).toEqual([
    { change: 'sleep', byMs: 600_000 },
    { change: 'step', byMs: 2500 },
  ])
})

test('a clock that is 5 ms off in its reading has not jumped', async () => {
  const seen = await changesSeen((machine) => {
    machine.wall += 5
    machine.upTime -= 10
  })
  expect(seen).toEqual([])
})

test('a wall clock that runs 1 ms in a second too fast drifts, it does not step', async () => {
  const machine = new TurnedClock()
  const seen: ClockChange[] = []
  const stop = watchClock((change) => seen.push(change), {
    clocks: { ...machine, wallMs: () => machine.wall + machine.monotonic / 1000 },
    after: machine.after,
  })
  await machine.pass(hour)
  stop()
  expect(seen).toEqual([])
})

test('a process that is held up while it reads the clocks reports no step', async () => {
  const machine = new TurnedClock()
  const seen: ClockChange[] = []
  let holdUps = 3
  const wallMs = (): number => {
    const wall = machine.wall
    if (machine.monotonic > 3000 && holdUps-- > 0) {
      machine.monotonic += 400 // time passes between the wall clock and the next reading
      machine.upTime += 400
      machine.wall += 400
    }
    return wall
  }
  const stop = watchClock((change) => seen.push(change), {
    clocks: { ...machine, monotonicMs: machine.monotonicMs, uptimeMs: machine.uptimeMs, wallMs },
    after: machine.after,
  })
  await machine.pass(8000)
  stop()
  expect(holdUps).toBeLessThan(0)
  expect(seen).toEqual([])
})
