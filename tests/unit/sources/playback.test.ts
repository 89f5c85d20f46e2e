import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import {
  type PlaybackOptions,
  type PlaybackSettings,
  playback,
  type TimedPiece,
} from '../../../server/sources/playback.ts'
import { HeardSource } from '../../support/heard-source.ts'
import { TurnedClock } from '../../support/turned-clock.ts'

let folder: string
let path: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'play-'))
  path = join(folder, 'night')
})
afterEach(() => rmSync(folder, { recursive: true }))

const recorded = (...seconds: number[]): TimedPiece[] =>
  seconds.map((second) => ({ atMs: second * 1000, bytes: Buffer.from(`${second}\n`), piece: 'whole' }))

function play(pieces: TimedPiece[] | null, speed: PlaybackSettings['speed'], more: Partial<PlaybackOptions> = {}) {
  const clock = new TurnedClock()
  const options: PlaybackOptions = {
    name: 'main',
    clock,
    expectEverySeconds: 2,
    after: clock.after,
    openRecording: () => pieces,
    ...more,
  }
  const heard = new HeardSource(playback({ kind: 'playback', path, speed, lineEnd: 'auto' }, options))
  return {
    clock,
    heard,
    lineSeconds: () => heard.lines.map((line) => (line.atMs - (heard.lines[0]?.atMs ?? 0)) / 1000),
  }
}

test('at 1 the distances are those of the recording', async () => {
  const { clock, heard, lineSeconds } = play(recorded(100, 101, 105), 1)
  await clock.pass(10_000)
  expect(lineSeconds()).toEqual([0, 1, 5])
  expect(heard.states).toEqual(['open', 'ended'])
})

test('at 10 a minute takes six seconds', async () => {
  const { clock, lineSeconds } = play(recorded(0, 60), 10)
  await clock.pass(10_000)
  expect(lineSeconds()).toEqual([0, 6])
})

test('pieces of a recording keep what they were', async () => {
  const { clock, heard } = play([{ atMs: 0, bytes: Buffer.from('12.'), piece: 'unended' }], 1)
  await clock.pass(1000)
  expect(heard.pieces).toEqual(['unended:12.'])
})

test('a text log is played one line per expected interval', async () => {
  writeFileSync(path, '1\n2\n3\n')
  const { clock, lineSeconds, heard } = play(null, 1)
  await clock.pass(1)
  await heard.until(() => heard.states.length === 1, 'it is open')
  await clock.pass(10_000)
  expect(lineSeconds()).toEqual([0, 2, 4])
})

test('a text log with times is played at their pace', async () => {
  writeFileSync(path, '10\n13\n')
  const { clock, lineSeconds, heard } = play(null, 1, { timeOf: (bytes) => Number(Buffer.from(bytes)) * 1000 })
  await clock.pass(1)
  await heard.until(() => heard.states.length === 1, 'it is open')
  await clock.pass(10_000)
  expect(lineSeconds()).toEqual([0, 3])
})

test('as fast as possible it waits for who stores the lines', async () => {
  let letGo = (): void => {}
  const hold = (): Promise<void> =>
    new Promise((resolve) => {
      letGo = resolve
    })
  const { clock, heard } = play(recorded(...Array.from({ length: 1200 }, (_, second) => second)), 'fastest', { hold })
  await clock.pass(10)
  expect(heard.lines.length).toBe(499)
  letGo()
  await clock.pass(10)
  expect(heard.lines.length).toBe(999)
  letGo()
  await clock.pass(10)
  expect(heard.states).toEqual(['open', 'ended'])
  expect(heard.links[1]?.detail).toMatch(/at its end after 1200 lines/)
})

test('a file that cannot be read is told and tried again', async () => {
  const { clock, heard } = play(null, 'fastest')
  await clock.pass(10)
  await heard.until(() => heard.states.length === 1, 'the refusal was told')
  expect(heard.links[0]?.detail).toMatch(/night cannot be read: there is no such file/)
  writeFileSync(path, '1\n')
  await clock.pass(1100)
  await heard.until(() => heard.states.includes('ended'), 'it is played')
  expect(heard.pieces).toEqual(['whole:1\n'])
})

test('closing in the middle ends it at once, without an end being told', async () => {
  const { clock, heard } = play(recorded(0, 3600), 1)
  await clock.pass(10)
  await heard.close()
  expect(heard.states).toEqual(['open'])
  expect(clock.waiting).toBe(0)
})
