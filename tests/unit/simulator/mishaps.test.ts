import { expect, test } from 'vitest'
import { mishap } from '../../../simulator/mishaps.ts'
import type { SimulatedLine } from '../../../simulator/night.ts'
import { allLines, jsonOf, withMishaps } from '../../support/a-scenario.ts'

// Every mishap is held to have really happened: it must show in the bytes, not only in the truth.
// The half hour begins to measure at second 120 and purges from second 600.

const secondOf = (line: SimulatedLine): number => (line.atMs - Date.parse('2026-11-22T06:00:00Z')) / 1000
const between = (lines: SimulatedLine[], from: number, to: number): SimulatedLine[] =>
  lines.filter((line) => secondOf(line) >= from && secondOf(line) < to)
const readings = (lines: SimulatedLine[]): SimulatedLine[] => lines.filter((line) => line.kind === 'reading')
const undisturbed = allLines(withMishaps())

test('each mishap has a test below', () => {
  const tested = [
    'trap-full',
    'pump-weak',
    'filter-clogging',
    'air-leak',
    'link-lost',
    'mute',
    'garbage',
    'cell-over-range',
    'cut-lines',
    'nuls',
    'over-long-line',
    'clock-jump',
    'restart',
    'limit-excursion',
  ]
  expect(mishap.options.map((option) => option.shape.what.value).sort()).toEqual(tested.sort())
})

test('without a mishap every line is whole, up and free of faults', () => {
  expect(undisturbed).toHaveLength(1800)
  expect(new Set(undisturbed.map((line) => `${line.kind} ${line.damage} ${line.link} ${jsonOf(line).faults}`))).toEqual(
    new Set(['reading null up none']),
  )
})

test('a full trap says so, holds the flow back, and is empty afterwards', () => {
  const lines = allLines(withMishaps({ what: 'trap-full', atMinutes: 5, forMinutes: 3 }))
  const full = between(lines, 370, 480).map(jsonOf)
  const after = jsonOf(between(lines, 485, 486)[0]!)
  expect(
    full.every(
      (of) => of.faults.split(' ').includes('condensate') && of.sample.flow < 0.3 && of.sample.condensate >= 98,
    ),
  ).toBe(true)
  expect(
    between(lines, 370, 480).every((line) => line.truth.phase === 'fault' && !line.truth.counts.includes(true)),
  ).toBe(true)
  expect(after.faults).toBe('none')
  expect(after.sample.condensate).toBeLessThan(10)
})

test('a weak pump lowers the flow and reports it', () => {
  const weak = between(
    allLines(withMishaps({ what: 'pump-weak', atMinutes: 4, forMinutes: 4, strength: 0.4 })),
    310,
    480,
  ).map(jsonOf)
  expect(weak.every((of) => of.sample.flow < 0.6 && of.faults === 'pump')).toBe(true)
})

test('a filter clogs slowly: the flow falls all the time, then the instrument reports it', () => {
  const lines = allLines(withMishaps({ what: 'filter-clogging', atMinutes: 3, forMinutes: 6, clogged: 0.8 }))
  const flows = [181, 270, 360, 450, 538].map((second) => jsonOf(between(lines, second, second + 1)[0]!).sample.flow)
  expect(flows.every((flow, index) => index === 0 || flow < flows[index - 1]!)).toBe(true)
  expect(jsonOf(between(lines, 538, 539)[0]!).faults.split(' ')).toContain('filter')
  expect(jsonOf(between(lines, 542, 543)[0]!).faults).toBe('none')
})

test('an air leak raises O2 and thins the rest in proportion', () => {
  // By hand, a fifth of room air: O2' = 0.8 · O2 + 0.2 · 20.95.
  const leaky = between(allLines(withMishaps({ what: 'air-leak', atMinutes: 4, forMinutes: 4, share: 0.2 })), 400, 470)
  const oxygen = leaky.map((line) => line.truth.seen[0]!)
  const expected = between(undisturbed, 400, 470).map((line) => 0.8 * line.truth.seen[0]! + 0.2 * 20.95)
  expect(oxygen.every((value, index) => Math.abs(value - expected[index]!) < 0.01)).toBe(true)
  expect(leaky.every((line, index) => line.truth.gas.O2 === between(undisturbed, 400, 470)[index]!.truth.gas.O2)).toBe(
    true,
  )
})

test('a lost link loses the lines of its time and no others', () => {
  const lines = allLines(withMishaps({ what: 'link-lost', atMinutes: 5, forMinutes: 2 }))
  expect(lines.filter((line) => line.link === 'lost').map(secondOf)).toEqual(
    Array.from({ length: 120 }, (_, index) => 300 + index),
  )
  expect(lines.filter((line) => line.link === 'lost').every((line) => !line.truth.counts.includes(true))).toBe(true)
})

test('an instrument that buffers keeps the lines for later', () => {
  const lines = allLines(withMishaps({ what: 'link-lost', atMinutes: 5, forMinutes: 2, buffers: true }))
  expect(lines.filter((line) => line.link === 'kept')).toHaveLength(120)
})

test('after a loss the last lines before it can come again, byte for byte', () => {
  const lines = allLines(withMishaps({ what: 'link-lost', atMinutes: 5, forMinutes: 2, repeats: 10 }))
  const repeated = lines.filter((line) => line.kind === 'repeat')
  const before = between(lines, 290, 300)
  expect(repeated.map((line) => line.bytes.toString())).toEqual(before.map((line) => line.bytes.toString()))
  expect(new Set(repeated.map(secondOf))).toEqual(new Set([420]))
})

test('a mute instrument makes lines that are not to be written', () => {
  const mute = allLines(withMishaps({ what: 'mute', atMinutes: 5, forMinutes: 1 })).filter(
    (line) => line.link === 'mute',
  )
  expect(mute.map(secondOf)).toEqual(Array.from({ length: 60 }, (_, index) => 300 + index))
})

test('garbage comes between the lines and none is lost', () => {
  const lines = allLines(withMishaps({ what: 'garbage', atMinutes: 5, forMinutes: 1, everySeconds: 5 }))
  const noise = lines.filter((line) => line.kind === 'garbage')
  expect(noise).toHaveLength(12)
  expect(noise.every((line) => line.bytes.indexOf(10) === line.bytes.length - 1)).toBe(true)
  expect(noise.some((line) => line.bytes.some((byte) => byte > 127))).toBe(true)
  expect(readings(lines).map((line) => line.bytes.toString())).toEqual(undisturbed.map((line) => line.bytes.toString()))
})

test('a cell beyond its range writes the token, and only that channel does not count', () => {
  const over = between(
    allLines(withMishaps({ what: 'cell-over-range', atMinutes: 5, forMinutes: 2, times: 1.5 })),
    330,
    420,
  )
  expect(over.every((line) => jsonOf(line).gas.co === 'over' && jsonOf(line).faults === 'range')).toBe(true)
  expect(over.every((line) => line.truth.counts.join() === 'true,false,true,true,true')).toBe(true)
  expect(over.every((line) => line.truth.gas.CO > 3000)).toBe(true)
})

test('cut lines lose their tail and keep their end', () => {
  const lines = allLines(withMishaps({ what: 'cut-lines', atMinutes: 5, forMinutes: 1, everySeconds: 10 }))
  const cut = lines.filter((line) => line.damage === 'cut')
  expect(cut).toHaveLength(6)
  expect(
    cut.every((line) => undisturbed[secondOf(line)]!.bytes.toString().startsWith(line.bytes.toString().trimEnd())),
  ).toBe(true)
  expect(cut.every((line) => line.bytes.at(-1) === 10 && line.bytes.length < 180)).toBe(true)
})

test('lines that lose their end run into the next one', () => {
  const lines = allLines(
    withMishaps({ what: 'cut-lines', atMinutes: 5, forMinutes: 1, everySeconds: 10, losesLineEnd: true }),
  )
  const cut = lines.filter((line) => line.damage === 'cut')
  expect(cut.every((line) => !line.bytes.includes(10) && lines[line.sequence]!.damage === 'joined')).toBe(true)
  expect(
    Buffer.concat(lines.map((line) => line.bytes))
      .toString()
      .split('\n'),
  ).toHaveLength(1800 - 6 + 1)
  expect(lines.filter((line) => line.damage !== null).every((line) => !line.truth.counts.includes(true))).toBe(true)
})

test('NUL bytes stand in the lines that say so', () => {
  const lines = allLines(withMishaps({ what: 'nuls', atMinutes: 5, forMinutes: 1, everySeconds: 10 }))
  expect(lines.filter((line) => line.bytes.includes(0)).map((line) => line.damage)).toEqual(Array(6).fill('nuls'))
})

test('an over-long line has its length, once', () => {
  const long = allLines(withMishaps({ what: 'over-long-line', atMinutes: 5, bytes: 9000 })).filter(
    (line) => line.kind === 'over-long',
  )
  expect(long.map((line) => [secondOf(line), line.bytes.length, line.bytes.indexOf(10)])).toEqual([[300, 9000, 8999]])
})

test('a clock that jumps back shows it in the lines and not in simulated time', () => {
  const lines = allLines(withMishaps({ what: 'clock-jump', atMinutes: 5, bySeconds: -90, forMinutes: 2 }))
  const off = lines.map((line) => (Date.parse(jsonOf(line).time) - line.atMs) / 1000)
  expect(off.slice(0, 300).every((seconds) => seconds === 0)).toBe(true)
  expect(off.slice(300, 420).every((seconds) => seconds === -90)).toBe(true)
  expect(off.slice(420).every((seconds) => seconds === 0)).toBe(true)
})

test('a restart is silence, then standby and purge with a clock that begins at 2000', () => {
  const lines = allLines(withMishaps({ what: 'restart', atMinutes: 5, darkSeconds: 20, clockLostSeconds: 30 }))
  const back = between(lines, 320, 330).map(jsonOf)
  expect(between(lines, 300, 320)).toEqual([])
  expect(back[0]).toMatchObject({ time: '2000-01-01T00:00:00Z', state: 'standby' })
  expect(jsonOf(between(lines, 350, 351)[0]!)).toMatchObject({ time: '2026-11-22T06:05:50Z', state: 'purging' })
})

test('burner trouble raises the gas by what was asked, and the readings with it', () => {
  const lines = allLines(
    withMishaps({ what: 'limit-excursion', atMinutes: 3, forMinutes: 6, species: 'CO', ppm: 200, riseMinutes: 1 }),
  )
  const more = between(lines, 300, 420).map((line) => line.truth.gas.CO - undisturbed[secondOf(line)]!.truth.gas.CO)
  expect(more.every((ppm) => Math.abs(ppm - 200) < 1e-6)).toBe(true)
  expect(between(lines, 300, 420).every((line) => Number(jsonOf(line).gas.co) > 190)).toBe(true)
})
