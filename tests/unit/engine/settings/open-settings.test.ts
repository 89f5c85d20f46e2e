import { expect, test } from 'vitest'
import { openSettings } from '../../../../server/engine/settings/open-settings.ts'
import { readStation } from '../../../../server/engine/settings/read-station.ts'
import { readScenario, scenarioNames } from '../../../../simulator/scenario.ts'
import { stationFor } from '../../../../simulator/station-for.ts'

type Settings = Record<string, unknown>
const text = (path: readonly (string | number)[]): string => path.join('.')
const told = (raw: unknown) => new Map(openSettings(raw).map(({ path, value, from }) => [text(path), { value, from }]))

const profile = {
  form: 'delimited',
  name: 'Boiler',
  fields: [
    { name: 'o2', at: 0, unit: 'vol%' },
    { name: 'co', at: 1, unit: 'ppm', origin: 'computed' },
  ],
}
const station = (more: Settings = {}): Settings => ({
  format: 1,
  regime: 'eu',
  station: { name: 'Boiler' },
  streams: [{ id: 'main', source: { kind: 'tcp', host: 'a', port: 1 }, profile, expectEverySeconds: 1 }],
  channels: [
    { id: 'o2', stream: 'main', field: 'o2', species: 'O2' },
    { id: 'co', stream: 'main', field: 'co', species: 'CO', unit: 'ppm' },
  ],
  ...more,
})

test('what the regime presets holds where the file is silent, and is told as the regime’s', () => {
  // 21 % in air: Directive 2010/75/EU; 20.9 %: 40 CFR 60.4213(d); docs/regimes.md.
  expect(told(station()).get('conversions.ambientOxygen')).toEqual({ value: 21, from: 'preset' })
  expect(told(station({ regime: 'us' })).get('conversions.ambientOxygen')).toEqual({ value: 20.9, from: 'preset' })
  expect(told(station({ regime: 'custom' })).get('conversions.ambientOxygen')).toEqual({
    value: 20.95,
    from: 'built in',
  })
  expect(told(station()).get('averaging.blocks')).toEqual({ value: ['PT30M'], from: 'preset' })
})

test('what the line profile tells of a channel is told as the profile’s, and only where the channel is silent', () => {
  const open = told(station())
  expect(open.get('channels.0.unit')).toEqual({ value: 'vol%', from: 'line profile' })
  expect(open.get('channels.1.origin')).toEqual({ value: 'computed', from: 'line profile' })
  expect(open.get('channels.1.unit')).toBeUndefined()
  expect(open.get('channels.0.t95Seconds')).toEqual({ value: 0, from: 'built in' })
})

test('a setting that the file has is not told, nor one that nobody sets', () => {
  const open = told(station({ conversions: { ambientOxygen: 20.95 } }))
  expect(open.has('conversions.ambientOxygen')).toBe(false)
  expect(open.has('conversions.referenceOxygen')).toBe(false)
  expect(open.get('conversions.oxygenGuard')).toEqual({ value: 19, from: 'built in' })
})

test('a preset that gives way to the file is not told as in force', () => {
  expect(told(station({ regime: 'us' })).get('corrections.bias')).toEqual({ value: 'run-means', from: 'preset' })
  const corrected = told(station({ regime: 'us', corrections: { zero: 'last' } }))
  expect(corrected.get('corrections.bias')).toEqual({ value: 'none', from: 'built in' })
})

test('a rule that the file sets takes nothing from the preset of another rule', () => {
  const open = told(station({ averaging: { validity: { rule: 'quadrants', purgeIsQualityAssurance: true } } }))
  expect(open.get('averaging.validity.minimum')).toEqual({ value: '2/3', from: 'built in' })
  const same = told(station({ averaging: { validity: { rule: 'fraction' } } }))
  expect(same.get('averaging.validity.minimum')).toEqual({ value: '2/3', from: 'preset' })
})

test('of a file that is half written the rest is told all the same, and nothing of what is at fault', () => {
  const open = told({
    format: 1,
    regime: 'eu',
    station: {},
    streams: [{ id: 'main' }],
    channels: [{ id: 'o2', stream: 'main', field: 'o2', species: 'O2' }],
    limits: [{ channel: 'o2' }],
  })
  expect(open.get('conversions.ambientOxygen')).toEqual({ value: 21, from: 'preset' })
  expect(open.get('limits.0.deadband')).toEqual({ value: 0, from: 'built in' })
  expect(
    ['station.name', 'streams.0.profile', 'channels.0.unit', 'limits.0.unit'].filter((path) => open.has(path)),
  ).toEqual([])
  expect(openSettings('no object')).toEqual([])
})

/** The settings of a file, lists as a whole. */
const leaves = (value: unknown, path: readonly (string | number)[] = []): [string, unknown][] =>
  typeof value === 'object' && value !== null && (!Array.isArray(value) || value.some((one) => typeof one === 'object'))
    ? Object.entries(value).flatMap(([key, one]) => leaves(one, [...path, key]))
    : [[text(path), value]]

test.each(scenarioNames)('the file of %s and what it leaves open are together the settings in force', (name) => {
  const raw: unknown = JSON.parse(
    JSON.stringify(stationFor(readScenario(name), { kind: 'tcp', host: '127.0.0.1', port: 4001 })),
  )
  const read = readStation(raw)
  const inForce = new Map(leaves(read.ok ? JSON.parse(JSON.stringify(read.station)) : {}))
  const written = new Map(leaves(raw))
  const open = told(raw)
  expect(inForce.size).toBeGreaterThan(100)
  expect(
    [...inForce].filter(([path, value]) => {
      const found = written.has(path) ? written.get(path) : open.get(path)?.value
      return JSON.stringify(found) !== JSON.stringify(value) && JSON.stringify(value) !== '{}'
    }),
  ).toEqual([])
})
