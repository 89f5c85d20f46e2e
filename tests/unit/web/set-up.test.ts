import { expect, test } from 'vitest'
import { readStation } from '../../../server/engine/settings/read-station.ts'
import { readScenario, scenarioNames } from '../../../simulator/scenario.ts'
import { stationFor } from '../../../simulator/station-for.ts'
import { builtSource, builtStation, type Drafts } from '../../../web/views/set-up/built-station.ts'
import { columnsOf, limitsOf, sourceOf, stationDraftOf, unitsFor, usualUnit } from '../../../web/views/set-up/draft.ts'
import { EditedStation } from '../../../web/views/set-up/edited-station.ts'

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
  { kind: 'serial', path: '/dev/ttyUSB0' },
  { kind: 'playback', path: 'night.flueledger', speed: 'fastest' },
  { kind: 'simulator', scenario: 'calm-night', seed: 3 },
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
  expect(placeOf('nox')).toBe(1)
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

/** A page that has taken a station file up. */
function edited(station: Settings | null, profiles: Record<string, Settings> = {}): EditedStation {
  const page = new EditedStation()
  page.takeFile({
    available: true,
    why: '',
    file: 'station.json',
    state: station ? 'standby' : 'waiting',
    pending: false,
    seen: null,
    station,
    profiles,
  })
  return page
}
const boiler = {
  format: 1,
  station: { name: 'Boiler' },
  streams: [
    { id: 'main', source: { kind: 'tcp', host: 'a', port: 1 }, profile, expectEverySeconds: 1 },
    { id: 'flow', source: { kind: 'simulator' }, profile: 'flow.json', expectEverySeconds: 5 },
  ],
  channels: [
    { id: 'o2', stream: 'main', field: 'o2', species: 'O2', t95Seconds: 30 },
    { id: 'nox', stream: 'main', field: 'nox', species: 'NOx' },
    { id: 'duct', stream: 'flow', field: 'speed', quantity: 'velocity', unit: 'm/s' },
  ],
  limits: [{ channel: 'nox', of: 'reading', value: 200, unit: 'ppm' }],
  later: { unknown: [1, 2] },
}

test('one setting is put in, and the rest of the file stays as it was', () => {
  const page = edited(boiler)
  page.putSetting(['conversions', 'referenceOxygen'], 11)
  expect(page.station?.referenceOxygen).toBe('11')
  expect(page.built()?.station).toEqual({ ...boiler, conversions: { referenceOxygen: 11 } })
  page.putSetting(['conversions', 'referenceOxygen'], undefined)
  expect(JSON.stringify(page.built()?.station)).toBe(JSON.stringify(boiler))
})

test('what was typed in the steps stays when a setting is put in, and the other way round', () => {
  const page = edited(boiler)
  if (page.station) page.station.name = 'Dryer'
  const [limit] = page.limits
  if (limit) limit.value = '150'
  page.putSetting(['limits', 0, 'onDelaySeconds'], 60)
  expect(page.built()?.station).toMatchObject({
    station: { name: 'Dryer' },
    limits: [{ channel: 'nox', value: 150, onDelaySeconds: 60 }],
  })
})

test('a channel that is half told, and a poll without its question, stay until they are told', () => {
  const page = edited(boiler)
  page.putSetting(['channels', 1, 'species'], undefined)
  page.putSetting(['streams', 0, 'poll', 'everySeconds'], 5)
  expect(page.built()?.station.channels).toContainEqual({ id: 'nox', stream: 'main', field: 'nox' })
  page.putSetting(['channels', 1, 'species'], 'NO')
  page.putSetting(['streams', 0, 'poll', 'send'], 'R\r')
  expect(page.built()?.station).toMatchObject({
    streams: [{ poll: { everySeconds: 5, send: 'R\r' } }, {}],
    channels: [{}, { species: 'NO' }, {}],
  })
})

test('two channels of one field both stay, each as it is', () => {
  const twice = {
    ...boiler,
    channels: [...boiler.channels, { id: 'o2-raw', stream: 'main', field: 'o2', species: 'O2' }],
  }
  const page = edited(twice)
  page.putSetting(['site', 'name'], 'Works')
  expect(page.built()?.station).toEqual({ ...twice, site: { name: 'Works' } })
})

test('a new limit is as it was told, nothing is filled in unseen', () => {
  const page = edited(boiler)
  page.putSetting(['limits', 1], {})
  page.putSetting(['limits', 1, 'value'], 50)
  expect(page.built()?.station.limits).toEqual([boiler.limits[0], { value: 50 }])
})

test('each stream has its own source, and looking at another changes nothing', () => {
  const page = edited(boiler)
  page.showStream(1)
  expect([page.stream, page.source?.kind, page.station?.everySeconds]).toEqual(['flow', 'other', '5'])
  page.showStream(0)
  expect(JSON.stringify(page.built()?.station)).toBe(JSON.stringify(boiler))
  expect(page.columns.map(({ what }) => what)).toEqual(['O2', 'NOx'])
})

test('a stream more is set up by the same steps; its channels name it, and have names of their own', () => {
  const page = edited(boiler)
  page.addStream()
  expect([page.streams, page.stream]).toEqual([['main', 'flow', 'second'], 'second'])
  page.renameStream('outlet')
  Object.assign(page.source ?? {}, { kind: 'tcp', address: 'b:2' })
  page.takeProposal(profile, {
    ok: true,
    profile,
    confidence: 1,
    guesses: [],
    unnamed: [],
    stepSeconds: 2,
    columns: [
      {
        ...{ at: 0, label: 'O2', role: 'value', field: 'o2', meaning: { species: 'O2' }, unit: 'vol%', basis: 'dry' },
        ...{ origin: 'measured', confidence: 1, reason: '', unknown: [], samples: [] },
      },
    ],
  })
  if (page.station) page.station.everySeconds = '2'
  const built = page.built()?.station as typeof boiler
  expect(built.streams.slice(0, 2)).toEqual(boiler.streams)
  expect(built.streams[2]).toEqual({
    ...{ id: 'outlet', source: { kind: 'tcp', host: 'b', port: 2 } },
    ...{ profile, expectEverySeconds: 2 },
  })
  expect(built.channels.slice(0, 3)).toEqual(boiler.channels)
  expect(built.channels.slice(3)).toMatchObject([{ id: 'o2-outlet', stream: 'outlet', field: 'o2', species: 'O2' }])
})

test('a column that the lines do not name is called as its field, wherever it stands', () => {
  const page = edited(boiler)
  page.addStream()
  const fields = [{ name: 'column-1', at: { from: 0, length: 6 } }]
  const proposed = {
    role: 'value',
    field: 'column-1',
    meaning: null,
    unit: null,
    basis: null,
    origin: 'measured',
  } as const
  page.takeProposal(
    { form: 'fixed-width', name: 'x', fields },
    {
      ...{ ok: true, profile: {}, confidence: 1, guesses: [], unnamed: [], stepSeconds: 2 },
      columns: [
        { at: { from: 0, length: 6 }, label: '', confidence: 0, reason: '', unknown: [], samples: [], ...proposed },
      ],
    },
  )
  expect(page.columns.map(({ label }) => label)).toEqual(['column-1'])
})

test('a stream that is removed takes its channels and their limits along, and nothing else', () => {
  const page = edited(boiler)
  page.removeStream()
  expect(page.built()?.station).toEqual({
    ...boiler,
    streams: [boiler.streams[1]],
    channels: [boiler.channels[2]],
    limits: [],
  })
})

test('a stream’s new name is its channels’ too', () => {
  const page = edited(boiler)
  page.renameStream('stack')
  expect(page.built()?.station).toMatchObject({
    streams: [{ id: 'stack' }, { id: 'flow' }],
    channels: [{ stream: 'stack' }, { stream: 'stack' }, { stream: 'flow' }],
  })
})

test('a stream does not take the name of another, nor its channels with the name after that', () => {
  const page = edited(boiler)
  page.renameStream('flow')
  expect(page.streams).toEqual(['flow-2', 'flow'])
  page.renameStream('stack')
  expect(page.built()?.station).toMatchObject({
    streams: [{ id: 'stack' }, { id: 'flow' }],
    channels: [{ stream: 'stack' }, { stream: 'stack' }, { stream: 'flow' }],
  })
  page.renameStream('stack')
  expect(page.streams).toEqual(['stack', 'flow'])
})

test('of two channels of one field a column is told the faults of the one that it shows, the first', () => {
  const page = edited({
    ...boiler,
    channels: [...boiler.channels, { id: 'o2-raw', stream: 'main', field: 'o2', species: 'O2' }],
  })
  expect(page.built()?.placeOf('o2')).toBe(0)
})

test('the last stream shown, taken out with all settings, does not come back', () => {
  const page = edited(boiler)
  page.showStream(1)
  page.putSetting(['streams', 1], undefined)
  expect([page.place, page.streams]).toEqual([0, ['main']])
  expect(page.built()?.station.streams).toEqual([boiler.streams[0]])
})
