import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { faultLine, validate } from '../../../server/commands/validate.ts'

const folder = mkdtempSync(join(tmpdir(), 'validate-'))
afterAll(() => rmSync(folder, { recursive: true }))
const write = (name: string, content: string): string => {
  writeFileSync(join(folder, name), content)
  return join(folder, name)
}

test('a line profile is told from a station file by its form', () => {
  const path = write(
    'profile.json',
    '{ "form": "key-value", "name": "p", "fields": [\n { "name": "o2", "at": { "from": 3, "length": 2 } }\n] }',
  )
  const { kind, faults } = validate(path)
  expect(kind).toBe('line profile')
  expect(faults.map((fault) => faultLine({ ...fault, file: 'profile.json' }))).toEqual([
    expect.stringMatching(
      /^profile\.json:2:24: fields\[0\]\.at: \{"from":3,"length":2\} does not fit the form key-value/,
    ),
  ])
})

test('a sound line profile has no faults', () => {
  expect(
    validate(write('sound.json', '{ "form": "key-value", "name": "p", "fields": [{ "name": "o2", "at": "O2" }] }'))
      .faults,
  ).toEqual([])
})

test('a scenario that the simulator does not have is told where it stands, with those it has, beside other faults', () => {
  const path = write(
    'invented.json',
    `{ "format": 1, "station": { "name": "Boiler house", "timeZone": "Europe/Viena" }, "channels": [],
  "streams": [{ "id": "main", "expectEverySeconds": 1, "profile": "half-hour",
    "source": { "kind": "simulator", "scenario": "calm-nigth" } }] }`,
  )
  const told = validate(path).faults.map((fault) => faultLine({ ...fault, file: 'invented.json' }))
  expect(told).toContainEqual(expect.stringContaining('station.timeZone'))
  expect(told).toContainEqual(
    'invented.json:3:50: streams[0].source.scenario: "calm-nigth": is no scenario by name, and there is no such file; scenarios by name are calm-night, rough-night, half-hour',
  )
})

test('a fault in the shape of a line profile hides none between its parts', () => {
  const text = `{
  "form": "delimited",
  "name": "both kinds",
  "time": { "fields": [0], "format": "yyyy-MM-dd HH:QQ", "zone": "Mars" },
  "fields": [
    { "name": "o2", "at": 2, "unit": "vol-%" },
    { "name": "o2", "at": "O2" },
    { "name": "co", "at": { "from": 1, "length": 3 }, "origin": "guessed" }
  ],
  "missing": ["-"],
  "over": ["-"],
  "status": [{ "field": "mode", "separator": "+", "tokens": { "A+B": { "phase": "meausre" } } }]
}`
  const { faults } = validate(write('both.json', text))
  expect(faults.map(({ line, path, message }) => `${line} ${path}: ${message.slice(0, 22)}`)).toEqual([
    '4 time.format: “QQ” means nothing in ',
    '4 time.zone: there is no zone “Mars',
    '6 fields[0].unit: "vol-%" is not allowed',
    '7 fields[1].name: “o2” is the name of fi',
    '7 fields[1].at: “O2” is a heading, but',
    '8 fields[2].at: {"from":1,"length":3} ',
    '8 fields[2].origin: "guessed" is not allow',
    '11 over[0]: “-” stands in missing ',
    '12 status[0].field: there is no field “mod',
    '12 status[0].tokens: “A+B” holds the separa',
    '12 status[0].tokens.A+B.phase: "meausre" is not allow',
  ])
})

test('nothing is held against a part of a line profile that could not be read', () => {
  const pathsIn = (settings: object): string[] =>
    validate(
      write(
        'in-part.json',
        JSON.stringify({
          form: 'pattern',
          name: 'x',
          pattern: '(?P<o2>.*) (?P<mode>.*)',
          fields: [
            { name: 'o2', at: 'o2' },
            { name: 'mode', at: 'mode' },
          ],
          status: [{ field: 'mode', tokens: {} }],
          ...settings,
        }),
      ),
    ).faults.map(({ path }) => path)
  expect(pathsIn({})).toEqual([])
  // Without its pattern no group can be missing.
  expect(pathsIn({ pattern: 1 })).toEqual(['pattern'])
  // The field that the status asks for may be the one whose name is not known.
  expect(
    pathsIn({
      fields: [
        { name: 'o2', at: 'o2' },
        { nmae: 'mode', at: 'mode' },
      ],
    }),
  ).toEqual(['fields[1].name', 'fields[1].nmae'])
  expect(pathsIn({ fields: 'o2' })).toEqual(['fields'])
  expect(pathsIn({ fields: [{ name: 'o2', at: 'o2' }, 'mode'] })).toEqual(['fields[1]'])
  expect(pathsIn({ form: 'patern' })).toEqual(['form'])
  // A delimiter that is written wrong is not the one that is usual.
  expect(pathsIn({ form: 'delimited', pattern: undefined, delimeter: '\t', decimal: ';', status: [] })).toEqual(
    expect.not.arrayContaining(['delimiter']),
  )
})
