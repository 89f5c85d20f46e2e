import { expect, test } from 'vitest'
import { readStation } from '../../../server/engine/settings/read-station.ts'
import { readScenario, scenarioNames } from '../../../simulator/scenario.ts'
import { stationFor } from '../../../simulator/station-for.ts'
import { builtSource, builtStation, type Drafts } from '../../../web/views/set-up/built-station.ts'
import { columnsOf, limitsOf, sourceOf, stationDraftOf, unitsFor, usualUnit } from '../../../web/views/set-up/draft.ts'

type Settings = Record<string, unknown>
function draftsOf(station: Settings | null, profile: Settings): Drafts {
  return {
    place: 0,
    source: sourceOf(station),
    profile,
    isProfileNew: station === null,
    columns: columnsOf(profile, null, station, 'main'),
    station: stationDraftOf(station),
    limits: limitsOf(station),
  }
}
const plain = (of: unknown): Settings => JSON.parse(JSON.stringify(of))

test.each(scenarioNames)('the station file of %s, opened and not touched, comes out as it went in', (name) => {
  const scenario = readScenario(name)
  const station = plain(stationFor(scenario, { kind: 'tcp', host: '127.0.0.1', port: 4001 }))
  const { station: built } = builtStation(station, draftsOf(station, plain(scenario.instrument.profile)))
  expect(JSON.stringify(built, null, 2)).toBe(JSON.stringify(station, null, 2))
})

test.each([
  { kind: 'serial', path: '/dev/ttyUSB0', baudRate: 9600 },
  { kind: 'serial', path: '/dev/ttyUSB0', baudRate: 1200, dataBits: 7, parity: 'even', stopBits: 2, lineEnd: 'cr' },
  { kind: 'serial', path: 'x', baudRate: 9600, dataBits: 8, parity: 'none', flowControl: 'rts-cts' },
  { kind: 'tcp', host: '::1', port: 4001 },
  { kind: 'tcp', host: 'analyser.local', port: 4001, lineEnd: 'auto' },
  { kind: 'file', path: '/var/log/boiler.log' },
  { kind: 'file', path: '/var/log/boiler.log', from: 'end' },
])('a source comes out as it went in: %j', (source) => {
  const station = { streams: [{ id: 'main', source }] }
  expect(builtSource(sourceOf(station))).toEqual(source)
})

const profile = {
  form: 'delimited',
  name: 'Boiler',
  fields: [
    { name: 'o2', at: 0, unit: 'vol%' },
    { name: 'nox', at: 1, unit: 'ppm', origin: 'computed' },
    { name: 'state', at: 2 },
  ],
  status: [{ field: 'state', tokens: { M: { phase: 'measure' } } }],
}

test('a new station is a sound one, in the order of the station file’s description', () => {
  const drafts = draftsOf(null, profile)
  Object.assign(drafts.station, { name: 'Boiler', everySeconds: '1,5', referenceOxygen: '3' })
  Object.assign(drafts.source, { kind: 'tcp', address: '[::1]:4001', ask: 'R\\r', askEverySeconds: '2' })
  for (const column of drafts.columns) Object.assign(column, { what: column.field === 'o2' ? 'O2' : 'NOx' })
  const { station, placeOf } = builtStation(null, drafts)
  expect(readStation(station)).toMatchObject({ ok: true })
  expect(Object.keys(station)).toEqual(['format', 'regime', 'station', 'streams', 'channels', 'phases', 'conversions'])
  expect(station.streams).toMatchObject([
    { source: { host: '::1', port: 4001 }, poll: { send: 'R\r', everySeconds: 2 }, expectEverySeconds: 1.5 },
  ])
  expect(placeOf.get('nox')).toBe(1)
  expect(station.channels).toMatchObject([{ species: 'O2' }, { species: 'NOx', origin: 'computed' }])
})

test('a status field is no column, and a column that is taken out is a channel no more', () => {
  const before = {
    format: 1,
    station: { name: 'Boiler', timeZone: 'UTC' },
    streams: [{ id: 'main', source: { kind: 'tcp', host: 'a', port: 1 }, profile: 'boiler', expectEverySeconds: 1 }],
    channels: [
      { id: 'o2', stream: 'main', field: 'o2', species: 'O2', t95Seconds: 30 },
      { id: 'nox', stream: 'main', field: 'nox', species: 'NOx' },
    ],
  }
  const drafts = draftsOf(before, profile)
  expect(drafts.columns.map(({ field }) => field)).toEqual(['o2', 'nox'])
  const [, nox] = drafts.columns
  if (nox) nox.what = ''
  const { station } = builtStation(before, drafts)
  expect(station).toEqual({ ...before, channels: [before.channels[0]] })
})

test('what is no number is left as it was typed, for the station to refuse beside its field', () => {
  const drafts = draftsOf(null, profile)
  drafts.station.everySeconds = 'two'
  const read = readStation(builtStation(null, drafts).station)
  expect(!read.ok && read.findings.map(({ path }) => path.join('.'))).toContain('streams.0.expectEverySeconds')
})

test('usual units fit what they are usual for', () => {
  for (const what of ['O2', 'CO', 'NOx', 'CO2', 'temperature', 'flow', 'pressure', 'humidity'] as const)
    expect(unitsFor(what)).toContain(usualUnit(what))
  expect([usualUnit('O2'), usualUnit('CO'), usualUnit('temperature')]).toEqual(['vol%', 'ppm', 'degC'])
})
