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
    'invented.json:3:50: streams[0].source.scenario: "calm-nigth": cannot be read (ENOENT); scenarios by name are calm-night, rough-night, half-hour',
  )
})
