import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { simulateNight } from '../../../simulator/night.ts'
import { readScenario } from '../../../simulator/scenario.ts'
import { runSimulation, type SimulationMessage, simulationOptions } from '../../../simulator/simulate.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'simulated-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const never = new AbortController().signal
interface TruthLine {
  readonly kind: string
  readonly sequence: number
  readonly at: string
  readonly line: string
  readonly sent: boolean | 'unknown'
  readonly damage: string | null
  readonly text?: string
  readonly base64?: string
  readonly gas: Record<string, number>
  readonly atCells: Record<string, number>
  readonly counts: 'all' | string[]
}
const readTruth = (path: string): TruthLine[] =>
  readFileSync(path, 'utf8')
    .trimEnd()
    .split('\n')
    .map((text) => JSON.parse(text))
const bytesOf = (line: TruthLine): Buffer =>
  line.base64 === undefined ? Buffer.from(line.text ?? '', 'latin1') : Buffer.from(line.base64, 'base64')

describe('a rough night into a file', () => {
  const run = async () => {
    const [log, truth] = [join(folder, 'night.log'), join(folder, 'truth.jsonl')]
    const summary = await runSimulation(
      { scenario: 'rough-night', seed: 3, speed: 'fastest', hours: 4.5, to: `file:${log}`, truth },
      never,
    )
    return { summary, log: readFileSync(log), truth: readTruth(truth) }
  }

  test('the lines that the truth calls sent are the file, byte for byte and in order', async () => {
    const { summary, log, truth } = await run()
    const lines = truth.filter((line) => line.kind === 'line')
    expect(lines.map((line) => line.sequence)).toEqual(lines.map((_, index) => index + 1))
    expect(Buffer.concat(lines.filter((line) => line.sent === true).map(bytesOf)).equals(log)).toBe(true)
    expect(lines.filter((line) => line.sent === false)).toHaveLength(240 + 180) // four minutes of lost link, three of silence
    expect(summary).toMatchObject({ lines: lines.length, notSent: 420, unknown: 0, sent: lines.length - 420 })
    expect(truth.at(-1)).toMatchObject({ kind: 'end', lines: lines.length, notSent: 420 })
  })

  test('the header declares the seed, what was drawn and from what', async () => {
    const [header] = (await run()).truth
    expect(header).toMatchObject({
      kind: 'header',
      invented: true,
      scenario: 'rough-night',
      seed: 3,
      start: '2026-11-21T19:00:00.000Z',
      stepSeconds: 1,
    })
    const [, co] = (header as unknown as { cells: { drawn: object; from: object; species: string }[] }).cells
    expect(co).toMatchObject({
      species: 'CO',
      from: { span: { uniform: [0.985, 1.015] } },
      drawn: { species: 'CO', span: expect.any(Number) },
    })
  })

  test('each summary is the mean of the lines that count and were sent', async () => {
    const { truth } = await run()
    const summaries = truth.filter((line) => line.kind === 'summary') as unknown as {
      start: string
      end: string
      cells: { species: string; count: number; mean: number | null; meanAtCells: number | null }[]
    }[]
    expect(summaries).toHaveLength(9)
    const bySpecies = summaries.flatMap(({ start, end, cells }) => cells.map((cell) => ({ start, end, ...cell })))
    const recomputed = bySpecies.map(({ start, end, species }) => {
      const lines = truth.filter(
        (line) =>
          line.kind === 'line' &&
          line.at >= start &&
          line.at < end &&
          line.sent === true &&
          (line.counts === 'all' || line.counts.includes(species)),
      )
      const sum = (of: 'gas' | 'atCells'): number => lines.reduce((total, line) => total + line[of][species]!, 0)
      return { count: lines.length, mean: sum('gas') / lines.length, meanAtCells: sum('atCells') / lines.length }
    })
    expect(bySpecies.map((cell) => cell.count)).toEqual(recomputed.map((cell) => cell.count))
    expect(
      bySpecies.every(
        (cell, index) => cell.count === 0 || Math.abs(cell.mean! - recomputed[index]!.mean) < 1e-5 * (1 + cell.mean!),
      ),
    ).toBe(true)
    expect(
      bySpecies.every(
        (cell, index) =>
          cell.count === 0 ||
          Math.abs(cell.meanAtCells! - recomputed[index]!.meanAtCells) < 1e-5 * (1 + cell.meanAtCells!),
      ),
    ).toBe(true)
    expect(Math.min(...bySpecies.map((cell) => cell.count))).toBeGreaterThan(0)
  })
})

test('lines that an instrument kept while its link was lost come once the link is back', async () => {
  const log = join(folder, 'night.log')
  await runSimulation(
    {
      scenario: 'rough-night',
      speed: 'fastest',
      start: '2026-11-21T19:00:00Z',
      skipTo: '2026-11-22T04:40:00Z',
      to: `file:${log}`,
    },
    never,
  )
  const seconds = [...readFileSync(log, 'latin1').matchAll(/^t=([^;]+)/gm)].map((found) => Date.parse(found[1]!) / 1000)
  expect(seconds).toHaveLength(1200)
  expect(seconds.every((second, index) => index === 0 || second === seconds[index - 1]! + 1)).toBe(true)
})

test('a start of one’s own moves the night, and skipping leaves out what came before', async () => {
  const log = join(folder, 'night.log')
  await runSimulation(
    {
      scenario: 'calm-night',
      speed: 'fastest',
      hours: 0.1,
      start: '2027-01-01T00:00:00+01:00',
      skipTo: '2026-12-31T23:05:00Z',
      to: `file:${log}`,
    },
    never,
  )
  const lines = readFileSync(log, 'latin1').trimEnd().split('\r\n')
  const moved = [
    ...simulateNight(readScenario('calm-night'), 1, { startMs: Date.parse('2026-12-31T23:00:00Z'), hours: 0.1 }),
  ]
  expect(lines).toHaveLength(60)
  expect(lines[0]).toMatch(/^2026-12-31T23:05:00Z;/)
  expect(lines.at(-1)).toBe(moved.at(-1)!.bytes.toString().trimEnd())
})

test('a night that catches up with the clock goes on in real time', async () => {
  const halt = new AbortController()
  const log = join(folder, 'night.log')
  const before = Date.now()
  const messages: SimulationMessage[] = []
  await runSimulation(
    { scenario: 'half-hour', speed: 'fastest', catchUpToNow: true, to: `file:${log}` },
    halt.signal,
    (message) => {
      messages.push(message)
      if (message.event === 'caught-up') halt.abort()
    },
  )
  const times = readFileSync(log, 'utf8')
    .split('\n')
    .flatMap((text) => (text.startsWith('{"time"') ? [Date.parse(JSON.parse(text).time)] : []))
  expect(messages.map((message) => message.event)).toEqual(['caught-up', 'ended'])
  expect(before - times[0]!).toBeGreaterThan(1_790_000)
  expect(before - times[0]!).toBeLessThan(1_810_000)
  expect(times.at(-1)! - before).toBeGreaterThan(-1000)
  expect(times.at(-1)! - Date.now()).toBeLessThanOrEqual(0)
})

test('stopped by a signal the truth is complete', async () => {
  const truth = join(folder, 'truth.jsonl')
  const halt = new AbortController()
  const running = runSimulation(
    { scenario: 'calm-night', speed: 600, to: `file:${join(folder, 'night.log')}`, truth },
    halt.signal,
  )
  while (!existsSync(join(folder, 'night.log'))) await new Promise(setImmediate)
  halt.abort()
  const summary = await running
  const lines = readTruth(truth)
  expect(lines.at(-1)).toMatchObject({ kind: 'end', lines: summary.lines })
  expect(lines.filter((line) => line.kind === 'line')).toHaveLength(summary.lines)
})

test('a file that cannot be written is out of reach', async () => {
  await expect(runSimulation({ to: 'file:/nowhere/night.log' }, never)).rejects.toThrow(
    'file /nowhere/night.log is out of reach',
  )
})

test('options come as numbers or as the text of a command line, and all faults are told', () => {
  expect(simulationOptions.parse({ seed: '7', speed: '60', hours: '0.5', to: 'tcp:0' })).toMatchObject({
    seed: 7,
    speed: 60,
    hours: 0.5,
    to: { kind: 'tcp', port: 0 },
  })
  expect(simulationOptions.parse({ speed: 'fastest', to: 'serial:/dev/x' })).toMatchObject({
    speed: 'fastest',
    to: { kind: 'serial', path: '/dev/x' },
  })
  const faults = simulationOptions
    .safeParse({ seed: '-1', speed: 'warp', to: 'tcp:70000' })
    .error?.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`)
  expect(faults).toEqual([
    expect.stringMatching(/^seed: /),
    'speed: needs a number above 0, at most 1000000, or fastest',
    'to: "tcp:70000" is none of stdout, file:PATH, tcp:PORT (0…65535), serial:PATH',
  ])
})
