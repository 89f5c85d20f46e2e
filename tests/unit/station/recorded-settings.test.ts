import { expect, test } from 'vitest'
import { readStation } from '../../../server/engine/settings/read-station.ts'
import { stationFromSettings } from '../../../server/station/recorded-settings.ts'
import { aChannel, aStationFile } from '../../support/a-station.ts'

test('a recording of 0.1.0 under the regime eu gets neither a day nor an average over its run: presets are for station files', () => {
  const read = readStation(aStationFile([aChannel('co', { species: 'CO' })], { regime: 'eu' }))
  if (!read.ok) throw new Error(JSON.stringify(read.findings))
  // What 0.1.0 stored knew neither of them.
  const { ofBlocks, run, ...averaging } = read.station.averaging
  const stored = stationFromSettings(JSON.stringify({ ...read.station, averaging }))
  expect([ofBlocks.length, run === 'none']).toEqual([1, false])
  expect([stored.averaging.ofBlocks, stored.averaging.run]).toEqual([[], 'none'])
})
