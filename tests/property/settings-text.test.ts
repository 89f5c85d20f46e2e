import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readStation } from '../../server/engine/settings/read-station.ts'
import { stationOf } from '../../server/station/load-station-file.ts'
import { readSettingsText } from '../../server/station/settings-text.ts'
import { aChannel, aStationFile } from '../support/a-station.ts'

const sound = JSON.stringify(
  aStationFile([aChannel('co', { species: 'CO' }), aChannel('o2', { species: 'O2', unit: 'vol%' })], {
    conversions: { referenceOxygen: 3 },
    limits: [{ channel: 'co', of: 'block', average: 'PT30M', value: 1, unit: 'mg/m3', referenceOxygen: 3 }],
  }),
)

test('whatever text stands in a station file, the answer is a station or faults with a place, never an exception', () => {
  const cuts = fc.tuple(fc.nat(sound.length), fc.nat(12), fc.string({ maxLength: 6 }))
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        fc.json(),
        cuts.map(([at, less, more]) => sound.slice(0, at) + more + sound.slice(at + less)),
      ),
      (text) => {
        const loaded = stationOf(readSettingsText('x.json', text), '/nowhere')
        if (loaded.ok) return
        expect(loaded.faults.length).toBeGreaterThan(0)
        for (const { line, column, message } of loaded.faults) {
          expect(Math.min(line, column)).toBeGreaterThanOrEqual(1)
          expect(message).not.toBe('')
        }
      },
    ),
  )
})

/** All places of a value at which a setting could be at fault. */
function* places(value: unknown, path: readonly (string | number)[] = []): Generator<readonly (string | number)[]> {
  if (path.length > 0) yield path
  if (typeof value !== 'object' || value === null) return
  for (const [key, inside] of Object.entries(value))
    yield* places(inside, [...path, Array.isArray(value) ? Number(key) : key])
}
const everyPlace = [...places(JSON.parse(sound))]

test('whatever stands in place of a setting, faults are told and none is thrown', () => {
  fc.assert(
    fc.property(fc.constantFrom(...everyPlace), fc.jsonValue(), (path, value) => {
      const raw = JSON.parse(sound)
      let holder = raw
      for (const key of path.slice(0, -1)) holder = holder[key]
      holder[path.at(-1) as string] = value
      const { ok, findings } = readStation(raw)
      expect(ok).toBe(findings.length === 0)
    }),
    // Once found: an object that cannot be turned into text.
    { examples: [[['format'], { toString: '' }]] },
  )
})
