import { readdirSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { checkProfile } from '../../../../protocols/instrument/check-profile.ts'
import type { LineProfile } from '../../../../protocols/instrument/profile.ts'
import { lineProfile } from '../../../../protocols/instrument/profile.ts'
import { plainProfile } from '../../../../protocols/instrument/propose/plain-profile.ts'
import { writtenProfile } from '../../../../simulator/instrument/profile.ts'
import { lineWriter, type Written } from '../../../../simulator/lines/line-writer.ts'
import { simulateNight } from '../../../../simulator/night.ts'
import { readScenario, scenarioNames } from '../../../../simulator/scenario.ts'
import { linesOf, readyProfile, readySample } from '../../../support/line-reading.ts'
import { expectRead, namedFields, proposed, shareRead } from '../../../support/proposed.ts'

// The simulator’s writer knows nothing of the proposer: it writes, and what it wrote must be found out again.

const names = readdirSync(new URL('../../../../protocols/instrument/profiles/', import.meta.url))
  .filter((file) => file.endsWith('.json'))
  .map((file) => file.slice(0, -5))

const templates: Readonly<Record<string, string>> = {
  'furnace-worded': '[{time}] {state}: oxygen {o2} %, carbon monoxide {co} ppm, draught {draught} Pa',
}

/** Values that move as gas does; the status goes through its words; here and there a token of the profile. */
function valuesAt(profile: LineProfile, row: number): Written[] {
  return profile.fields.map(({ name }, field) => {
    const rule = profile.status.find((each) => each.field === name)
    const words = rule ? Object.keys(rule.tokens) : []
    if (words.length > 0) return words[Math.floor(row / 20) % words.length] ?? null
    if (row % 31 === field) return profile.over[0] ?? null
    if (row % 37 === field) return null
    return 10 * (field + 1) + 4 * Math.sin(row / 7 + field) + (row % 3) * 0.11
  })
}

function written(profile: LineProfile, template: string | undefined): Uint8Array {
  const writer = lineWriter(writtenProfile.parse(profile), {
    stationZone: 'UTC',
    lineEnd: 'crlf',
    template,
    decimals: profile.fields.map(() => 2),
  })
  const lines = Array.from({ length: 400 }, (_, row) =>
    writer.line(valuesAt(profile, row), Date.UTC(2026, 10, 20, 23, 58) + row * 1000),
  )
  return new Uint8Array(Buffer.concat([...writer.opening, ...lines]))
}

/** The writer names every part; a time without a name gets one. */
const writable = (profile: LineProfile): LineProfile =>
  profile.form === 'key-value' && profile.time?.fields[0] === 0
    ? { ...profile, time: { ...profile.time, fields: ['TIME'] } }
    : profile

describe.each(names)('%s', (name) => {
  const profile = writable(readyProfile(name))
  const proposal = proposed(written(profile, templates[name]))

  test('the form is found, the profile is sound, and it reads 99 lines of 100 at least', () => {
    expect(proposal.profile.form).toBe(profile.form)
    expect(checkProfile(proposal.profile)).toEqual([])
    expect(lineProfile.parse(plainProfile(proposal.profile))).toEqual(proposal.profile)
    expectRead(proposal)
  })

  test('decimal mark, checksum, and that there is a time', () => {
    expect(proposal.profile.decimal).toBe(profile.decimal)
    expect(proposal.profile.checksum?.kind).toBe(profile.checksum?.kind)
    expect(proposal.profile.time === undefined).toBe(profile.time === undefined)
  })

  test('the sample beside the profile is read too', () => {
    expect(shareRead(proposed(readySample(name)))).toBe(1)
  })
})

test.each([
  ['air-burn-cycles-columns', { o2: 'O2 vol%', co2: 'CO2 vol%', co: 'CO ppm' }],
  [
    'boiler-house-columns',
    { o2: 'O2 vol%', co: 'CO ppm', no: 'NO ppm', nox: 'NOx ppm', 't-gas': 'temperature degC', status: 'status' },
  ],
  ['kiln-named', { o2: 'O2 vol%', co: 'CO ppm', so2: 'SO2 ppm', st: 'status' }],
  ['engine-nested', { o2: 'O2', no: 'NO', no2: 'NO2', 'temperatures-0': 'temperature', state: 'status' }],
  ['furnace-worded', { state: 'status', o2: 'O2 vol%', co: 'CO ppm', draught: 'pressure Pa' }],
  ['roadside-air-hours', { co: 'CO', nox: 'NOx', no2: 'NO2', t: 'temperature' }],
  ['gas-turbine-hours', { co: 'CO', nox: 'NOx' }],
] as const)('%s: gases and temperatures are named where heading or key tells them', (name, expected) => {
  expect(namedFields(proposed(written(writable(readyProfile(name)), templates[name])))).toMatchObject(expected)
})

test.each(scenarioNames)(
  'a night of %s: what its damages leave is read, and every gas that has a name is named',
  (name) => {
    const scenario = readScenario(name)
    const bytes: Buffer[] = []
    for (const line of simulateNight(scenario, 3)) if (bytes.push(line.bytes) === 3000) break
    const proposal = proposed(new Uint8Array(Buffer.concat(bytes)))
    expect(proposal.profile.form).toBe(scenario.instrument.profile.form)
    expectRead(proposal)
    const isNamed = scenario.instrument.profile.form !== 'delimited'
    expect(Object.values(namedFields(proposal))).toEqual(
      expect.arrayContaining(isNamed ? ['O2', 'CO', 'NO', 'NO2', 'SO2', 'CO2', 'temperature', 'status'] : ['status']),
    )
  },
)

test('columns without a name stay unnamed and are listed', () => {
  const bytes: Buffer[] = []
  for (const line of simulateNight(readScenario('calm-night'), 3)) if (bytes.push(line.bytes) === 500) break
  const proposal = proposed(new Uint8Array(Buffer.concat(bytes)))
  expect(proposal.columns.filter(({ role, meaning }) => role === 'value' && meaning === null).length).toBe(11)
  expect(proposal.unnamed.filter((sentence) => /^column \d+ .* is not named/.test(sentence)).length).toBe(11)
})

test('CO₂ that the instrument works out from O₂ is told by its straight line', () => {
  const bytes: Buffer[] = []
  for (const line of simulateNight(readScenario('half-hour'), 3)) if (bytes.push(line.bytes) === 1500) break
  const proposal = proposed(new Uint8Array(Buffer.concat(bytes)))
  expect(proposal.columns.find(({ field }) => field === 'co2')?.origin).toBe('computed')
  expect(proposal.profile.fields.find(({ name }) => name === 'co2')?.origin).toBe('computed')
})

test('lines of a link that may be opened anywhere are found by position, whatever headings were seen', () => {
  const lines = linesOf(readySample('air-burn-cycles-columns'))
  const proposal = proposed(Buffer.concat(lines), { byPosition: true })
  expect(proposal.profile).toMatchObject({ header: false })
  expect(proposal.profile.fields[0]).toMatchObject({ name: 'o2', at: 2, unit: 'vol%' })
})
