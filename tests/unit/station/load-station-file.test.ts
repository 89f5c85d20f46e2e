import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { loadStationFile, stationSchema } from '../../../server/station/load-station-file.ts'
import { aChannel, aStationFile } from '../../support/a-station.ts'

const folder = mkdtempSync(join(tmpdir(), 'station-'))
afterAll(() => rmSync(folder, { recursive: true }))

const write = (name: string, content: unknown): string => {
  const path = join(folder, name)
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content, null, 2))
  return path
}
const profile = {
  form: 'delimited',
  name: 'plain',
  fields: [
    { name: 'o2', at: 0, unit: 'vol%' },
    { name: 'co', at: 1, unit: 'ppm' },
  ],
}
const o2 = aChannel('o2', { species: 'O2', unit: 'vol%' })
const co = aChannel('co', { species: 'CO' })
const withProfile = (name: string) => {
  const file = aStationFile([o2, co])
  return { ...file, streams: file.streams.map((stream) => ({ ...stream, profile: name })) }
}
const loaded = (path: string) => {
  const found = loadStationFile(path)
  if (!found.ok) throw new Error(JSON.stringify(found.faults))
  return found
}
const faultsOf = (path: string) => {
  const found = loadStationFile(path)
  return found.ok ? [] : found.faults
}

test('comments and a trailing comma are no faults', () => {
  const text = JSON.stringify(aStationFile([o2, co]), null, 2)
  expect(faultsOf(write('comments.json', `// The boiler house.\n${text.slice(0, -1)}, /* end */ }`))).toEqual([])
})

test('a profile beside the station file is found with and without .json, and stands inline in the settings in force', () => {
  write('plain.json', profile)
  const found = loaded(write('beside.json', withProfile('plain')))
  expect(found.station.streams[0]?.profile).toMatchObject({ name: 'plain' })
  expect(JSON.parse(found.text).streams[0].profile.fields).toHaveLength(2)
  expect(faultsOf(write('with-ending.json', withProfile('plain.json')))).toEqual([])
})

test('the settings in force, loaded again, are the same to the byte', () => {
  const first = loaded(write('once.json', { ...aStationFile([o2, co]), regime: 'us' }))
  expect(loaded(write('twice.json', first.text)).text).toBe(first.text)
})

test('a profile behind a link that leads out of the folder is refused', () => {
  const inside = join(folder, 'site')
  mkdirSync(inside)
  write('outside.json', profile)
  symlinkSync(join(folder, 'outside.json'), join(inside, 'linked.json'))
  const path = write('site/station.json', withProfile('linked'))
  expect(faultsOf(path).map(({ message }) => message)).toEqual([
    '"linked" lies outside of the station file\'s folder; put it beside the station file',
  ])
})

test('faults of the station and of its profile come together, each with its own file and line', () => {
  write(
    'bad-profile.json',
    '{\n  "form": "delimited",\n  "name": "plain",\n  "fields": [{ "name": "o2", "at": 0 }, { "name": "co", "at": 1, "unit": "ppn" }]\n}',
  )
  const path = write('both.json', { regime: 'mars', ...withProfile('bad-profile') })
  expect(faultsOf(path).map(({ file, line, path: at }) => [file, line, at])).toEqual([
    [path, 2, 'regime'],
    [join(folder, 'bad-profile.json'), 4, 'fields[1].unit'],
  ])
})

test('a fault in one channel does not hide another’s', () => {
  const path = write('two.json', {
    ...aStationFile([
      { ...o2, unit: 'ppn' as 'ppm' },
      { ...co, stream: 'mian' },
    ]),
  })
  expect(faultsOf(path).map(({ path: at }) => at)).toEqual(['channels[0].unit', 'channels[1].stream'])
})

test('a file that is not there is a fault, not an exception', () => {
  expect(faultsOf(join(folder, 'nowhere.json'))[0]?.message).toMatch(/^cannot be read: there is no such file/)
})

test('what is allowed and seldom meant is a warning with its line', () => {
  const limits = [{ channel: 'co', of: 'block', average: 'PT30M', value: 100, unit: 'mg/m3' }]
  const found = loaded(
    write('warned.json', {
      ...aStationFile([o2, co], { conversions: { referenceOxygen: 3 }, results: { uncertainty: 'ignore' } }),
      limits,
    }),
  )
  expect(found.warnings.map(({ path, message }) => `${path} ${message}`)).toEqual([
    'limits[0].referenceOxygen is not set: the limit is compared at the oxygen as measured; set 3 if the permit means the reference',
  ])
})

test('the JSON Schema knows every part of the file', () => {
  const schema = stationSchema() as { properties: object; additionalProperties: boolean }
  expect(Object.keys(schema.properties)).toEqual(
    expect.arrayContaining(['station', 'streams', 'channels', 'phases', 'conversions', 'averaging', 'limits']),
  )
  expect(schema.additionalProperties).toBe(false)
})
