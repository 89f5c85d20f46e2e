import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { flueledger } from '../support/built-command.ts'
import { type DemoRecording, demoRecording } from '../support/demo-recording.ts'
import { type Explained, explainedOf, linesOf, meansOf, stated } from '../support/second-party.ts'

// A second party's check: the recording of the demo's scenario is read as the SQLite file that it is, and an average is
// recomputed from the raw lines and what `explain` prints, without any code of the station's. The formulas stand here as
// docs/calculations.md gives them: ideal gas law, US EPA Method 19 for dry gas, Directive 2010/75/EU for the reference oxygen.

let made: DemoRecording
let recording = ''
let lineOf = new Map<number, string>()
afterAll(() => made.remove())

function open(of: DemoRecording): void {
  made = of
  recording = of.recording
  lineOf = linesOf(recording)
}

beforeAll(async () => open(await demoRecording()))

const explained = (...asked: string[]): Promise<Explained> => explainedOf(recording, ...asked)
const meansFromLines = (answer: Explained): number[] => meansOf(answer, lineOf)

const inputOf = (answer: Explained, step: RegExp, input: string): number =>
  answer.steps.find((one) => step.test(one.step))?.inputs.find(({ name }) => name === input)?.value ?? Number.NaN

/** M · p / (R · T), with the constants that `explain` prints. */
const massPerPpm = (answer: Explained, gas: string): number =>
  (inputOf(answer, /^factor from/, `molar mass of ${gas}`) * inputOf(answer, /^factor from/, 'pressure')) /
  (inputOf(answer, /^factor from/, 'gas constant') * inputOf(answer, /^factor from/, 'temperature'))
const oxygenFactor = (answer: Explained, oxygen: number): number => {
  const air = inputOf(answer, /^factor of the reference/, 'oxygen of the air')
  return (air - inputOf(answer, /^factor of the reference/, 'reference oxygen')) / (air - oxygen)
}

describe('an average recomputed from raw lines and the JSON of explain alone', () => {
  // The half-hour from 18:00 holds standby, a purge, a zero and settling; that from 19:30 measuring and a purge.
  test.each([
    ['2026-11-20T18:00:00Z', 'PT30M'],
    ['2026-11-20T19:30:00Z', 'PT30M'],
    ['2026-11-20T19:00:00Z', 'PT1H'],
  ])('carbon monoxide as read, from %s over %s', async (block, average) => {
    const answer = await explained('--block', block, '--channel', 'co', '--average', average, '--quantity', 'as_read')
    const [mean] = meansFromLines(answer)
    expect(stated(mean ?? Number.NaN)).toBe(stated(answer.row.mean))
    expect(answer.readings.filter(({ counts }) => counts)).toHaveLength(answer.row.count)
    const sampling = answer.readings
      .filter(({ counts }) => counts)
      .map(({ sequence }) => lineOf.get(sequence)?.split(';')[12])
    expect(new Set(sampling)).toEqual(new Set(['sampling']))
  })

  test('carbon monoxide less the zero of the last purge', async () => {
    const answer = await explained(
      '--block',
      '2026-11-20T19:30:00Z',
      '--channel',
      'co',
      '--average',
      'PT30M',
      '--quantity',
      'drift_corrected',
    )
    expect(answer.zeros.length).toBeGreaterThan(0)
    expect(stated(meansFromLines(answer)[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })

  test('carbon monoxide in mg/m3', async () => {
    const answer = await explained(
      '--block',
      '2026-11-20T18:30:00Z',
      '--channel',
      'co',
      '--average',
      'PT30M',
      '--quantity',
      'mass_concentration',
    )
    const [mean = Number.NaN] = meansFromLines(answer)
    expect(stated(mean * massPerPpm(answer, 'CO'))).toBe(stated(answer.row.mean))
  })

  test('nitrogen oxides in mg/m3 as NO2 at the reference oxygen, from NO, NO2 and oxygen read together', async () => {
    const answer = await explained(
      '--block',
      '2026-11-20T19:30:00Z',
      '--channel',
      'nox',
      '--average',
      'PT30M',
      '--quantity',
      'at_reference_oxygen',
    )
    const [no = Number.NaN, no2 = Number.NaN, oxygen = Number.NaN] = meansFromLines(answer)
    const perPpm = massPerPpm(answer, 'NO₂')
    expect(answer.lanes.map(({ channel }) => channel)).toEqual(['no', 'no2', 'o2'])
    expect(stated((no * perPpm + no2 * perPpm) * oxygenFactor(answer, oxygen))).toBe(stated(answer.row.mean))
    expect([answer.agrees, answer.row.countedMs / (answer.row.endMs - answer.row.startMs)]).toEqual([
      true,
      answer.row.coverage,
    ])
  })

  test('a rolling average', async () => {
    const answer = await explained(
      '--block',
      '2026-11-20T18:41:00Z',
      '--channel',
      'co',
      '--rolling',
      '--quantity',
      'as_read',
    )
    expect(stated(meansFromLines(answer)[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })

  test('sulphur dioxide, freed of what nitrogen oxides add to its cell', async () => {
    const answer = await explained(
      ...['--block', '2026-11-20T19:30:00Z', '--channel', 'so2', '--average', 'PT30M', '--quantity', 'drift_corrected'],
    )
    expect(stated(meansFromLines(answer)[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })

  test('a line that is changed in the file changes what explain recomputes, and explain says that it is stored otherwise', async () => {
    const before = await explained(
      '--block',
      '2026-11-20T18:30:00Z',
      '--channel',
      'co',
      '--average',
      'PT30M',
      '--quantity',
      'as_read',
    )
    const { sequence } = before.readings[60] as Explained['readings'][number]
    const changed = join(made.folder, 'changed.flue.sqlite')
    const db = new Database(recording, { readonly: true })
    await db.backup(changed)
    db.close()
    const copy = new Database(changed)
    const parts = (lineOf.get(sequence) ?? '').split(';')
    parts[2] = String(Number(parts[2]) + 180)
    copy.prepare('UPDATE line SET bytes = ? WHERE sequence = ?').run(Buffer.from(`${parts.join(';')}\n`), sequence)
    copy.close()
    const { status, out, err } = await flueledger(
      'explain',
      changed,
      '--block',
      '2026-11-20T18:30:00Z',
      '--channel',
      'co',
      '--average',
      'PT30M',
      '--quantity',
      'as_read',
      '--json',
    )
    const after = JSON.parse(out) as Explained
    expect([status, after.agrees, err]).toEqual([
      1,
      false,
      expect.stringContaining('stored otherwise than recomputed: mean'),
    ])
    // One of 1800 seconds with 180 ppm more: 0.1 ppm.
    expect(after.row.mean - before.row.mean).toBeCloseTo(0.1, 10)
  })
})

describe('what cannot be explained is answered with what there is', () => {
  test.each([
    [['--block', '2026-11-20T18:30:00Z', '--channel', 'ozone'], 'there is no such channel; there are o2, co'],
    [['--block', '2026-11-20T18:31:30Z', '--channel', 'co'], 'near it begin:'],
    [['--block', '2026-11-20T18:30:00Z', '--channel', 'co', '--average', 'PT7M'], 'formed are PT1M'],
    [['--block', '2026-11-20T18:30:00Z', '--channel', 'co', '--quantity', 'weight'], 'allowed are as_read'],
    [['--block', 'yesterday', '--channel', 'co'], 'is not a time as'],
  ])('%j', async (asked, told) => {
    const { status, err } = await flueledger('explain', recording, ...asked)
    expect([status, err]).toEqual([2, expect.stringContaining(told)])
  })
})

describe('a night with zeros on the line between purges, a cell that answers to other gases, and cut lines', () => {
  let rough: DemoRecording
  let roughLines = new Map<number, string>()
  beforeAll(async () => {
    rough = await demoRecording('rough-night')
    roughLines = linesOf(rough.recording)
  })
  afterAll(() => rough.remove())

  // The half-hour from 20:00 holds a purge: readings before it lie between other zeros than those after it.
  test.each([
    ['so2', '2026-11-21T20:30:00Z', 'PT30M'],
    ['so2', '2026-11-21T20:00:00Z', 'PT30M'],
    ['co', '2026-11-21T20:00:00Z', 'PT1H'],
    ['no', '2026-11-21T23:30:00Z', 'PT30M'],
  ])('%s from %s over %s', async (channel, block, average) => {
    const answer = await explainedOf(
      rough.recording,
      ...['--block', block, '--channel', channel, '--average', average, '--quantity', 'drift_corrected'],
    )
    expect([answer.agrees, answer.row.state]).toEqual([true, 'final'])
    expect(stated(meansOf(answer, roughLines)[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })
  test('before the last purge a zero lies on a line; after it the last zero holds, and it is said', async () => {
    const course = async (block: string): Promise<string[]> =>
      (
        await explainedOf(
          rough.recording,
          ...['--block', block, '--channel', 'no', '--average', 'PT30M', '--quantity', 'drift_corrected'],
        )
      ).zeroCourses.map(({ how }) => how)
    expect(new Set(await course('2026-11-21T20:30:00Z'))).toEqual(new Set(['line']))
    expect(await course('2026-11-21T23:30:00Z')).toContain('held')
  })
  test('a rolling average', async () => {
    const answer = await explainedOf(
      rough.recording,
      ...['--block', '2026-11-21T19:30:00Z', '--channel', 'no', '--rolling', '--quantity', 'drift_corrected'],
    )
    expect(stated(meansOf(answer, roughLines)[0] ?? Number.NaN)).toBe(stated(answer.row.mean))
  })
})
