import { describe, expect, test } from 'vitest'
import { flueledger } from '../support/built-command.ts'

// EU-1: Directive 2010/75/EU, Annex VI, Part 7; by hand 150 · 18 / 15.8.
const oxygen = ['--input', 'concentration=150mg/m3', 'oxygen=5.2', 'reference=3']

test('a calculation is told with its unit, formula, range, source and status', async () => {
  const { status, out, err } = await flueledger('calc', 'reference-oxygen', ...oxygen)
  expect([status, err]).toEqual([0, ''])
  expect(out).toMatch(/^concentration at the reference oxygen: 170\.8860759 mg\/m3\n/)
  for (const line of [
    /^air +21 vol% \(by default\)$/m,
    /^formula +concentration × \(air − reference\) \/ \(air − oxygen\)$/m,
    /^holds for +dry gas with oxygen up to 20\.5 vol%/m,
    /^source +Directive 2010\/75\/EU, Annex VI, Part 7/m,
    /^status +published$/m,
    /^caution +Some permits forbid/m,
  ])
    expect(out).toMatch(line)
})

test('as JSON it has every digit and nothing else on standard output', async () => {
  const { status, out, err } = await flueledger('calc', 'reference-oxygen', ...oxygen, '--json')
  expect([status, err]).toEqual([0, ''])
  const { calculation, result, inputs, status: standing } = JSON.parse(out)
  expect([calculation, result.unit, standing, inputs.length]).toEqual(['reference-oxygen', 'mg/m3', 'published', 4])
  expect(result.value).toBeCloseTo((150 * 18) / 15.8, 12)
})

test('units are turned into each other, on the way in and on the way out', async () => {
  // M2-4 of tests/fixtures/published/gas-calculations.json: 21110.1 dscf/min.
  const inputs = ['velocity=49.0054ft/s', 'diameter=4ft', 'water=12', 'temperature=350.33degF', 'pressure=29.8inHg']
  const standard = ['standardTemperature=528degR', 'standardPressure=29.92inHg']
  const { out } = await flueledger(
    'calc',
    'dry-flow',
    '--input',
    ...inputs,
    '--input',
    ...standard,
    '--in',
    'ft3/min',
    '--json',
  )
  expect(JSON.parse(out).result.value).toBeCloseTo(21_110.1, -1)
})

test('alone it lists every calculation with its purpose, and as JSON with every input', async () => {
  const { status, out } = await flueledger('calc')
  const listed = [...out.matchAll(/^ {2}([a-z0-9-]+) {2,}\S/gm)].map(([, name]) => name)
  const { calculations } = JSON.parse((await flueledger('calc', '--json')).out)
  expect(status).toBe(0)
  expect(listed.length).toBeGreaterThan(100)
  expect(listed).toEqual(calculations.map(({ name }: { name: string }) => name))
})

describe('wrong use ends with 2, says all that is wrong and what is allowed', () => {
  test.each([
    ['a name that is not known', ['refrence-oxygen'], [/did you mean "reference-oxygen"\?/]],
    ['a word of several names', ['oxygen'], [/there are reference-oxygen, /]],
    [
      'inputs at fault',
      ['reference-oxygen', '--input', 'concentration=150bar', 'oxigen=5', 'reference=40', 'vol%'],
      [
        /"vol%" is no name=value/,
        /"oxigen" is no input of reference-oxygen; did you mean "oxygen"\?/,
        /concentration: "bar" does not fit; use ppm, vol%, ppb, mg\/m3, ug\/m3 or g\/m3/,
        /oxygen is missing: measured oxygen, dry; -1…25 vol%/,
        /reference: 40 vol% is outside 0…20 vol%/,
        /^example: flueledger calc reference-oxygen --input/m,
      ],
    ],
    [
      'a unit that the result cannot have',
      ['reference-oxygen', ...oxygen, '--in', 'ppm'],
      [/the result cannot be in "ppm"/],
    ],
    ['an input given twice', ['air-ratio', '--input', 'oxygen=1', '--input', 'oxygen=2'], [/oxygen is given twice/]],
    [
      'inputs that have no value together',
      ['reference-oxygen', ...oxygen.slice(0, 2), 'oxygen=21', 'reference=3'],
      [/has no value for these inputs; it holds for: dry gas/],
    ],
    ['inputs without a name', ['--in', 'ppm'], [/name the calculation/]],
  ] as const)('%s', async (_, parameters, told) => {
    const { status, out, err } = await flueledger('calc', ...parameters)
    expect([status, out]).toEqual([2, ''])
    for (const text of told) expect(err).toMatch(text)
  })
})

test('--help has examples', async () => {
  const { status, out } = await flueledger('calc', '--help')
  expect(status).toBe(0)
  expect(out).toMatch(/\$ flueledger calc reference-oxygen --input/)
})
