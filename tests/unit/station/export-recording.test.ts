import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { drive } from '../../../server/station/drive-engine.ts'
import { exportContent, exportRecordingTo, newExportContent } from '../../../server/station/export-recording.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
import { aChannel, aStation, aStationFile } from '../../support/a-station.ts'
import { aLine, aNightStation, besideStream, gas, minute, run, ten } from '../../support/engine-night.ts'

// What an export holds is told by the lines that went in; worked out by hand here. No source.

const folder = mkdtempSync(join(tmpdir(), 'flueledger-export-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const channels = [aChannel('co', { species: 'CO' })]
const rest = {
  streams: [
    {
      id: 'main',
      source: { kind: 'tcp' as const, host: '127.0.0.1', port: 4000 },
      expectEverySeconds: 1,
      timeFrom: 'line' as const,
      profile: {
        form: 'delimited' as const,
        name: 'invented',
        fields: [{ name: 'co', at: 1 }],
        time: { fields: [0], format: 'iso', zone: 'UTC' },
      },
    },
  ],
}

test('an export in two formats tells each reading once in each, in order, though none are held between them', async () => {
  const log = join(folder, 'lines.log')
  const stamps = Array.from({ length: 200 }, (_, second) => new Date(Date.UTC(2026, 0, 15, 10, 0, second)))
  writeFileSync(log, stamps.map((at, second) => `${at.toISOString().slice(0, 19)};${second}\n`).join(''))
  const recording = join(folder, 'run.flue.sqlite')
  await importLogTo(log, aStation(channels, rest), JSON.stringify(aStationFile(channels, rest)), recording)
  await exportRecordingTo(recording, { folder, formats: ['csv', 'json'], decimal: '.' })
  const [heading = '', ...rows] = readFileSync(join(folder, 'readings.csv'), 'utf8').trimEnd().split('\n')
  const co = heading.split(',').indexOf('co as_read [ppm]')
  const told = JSON.parse(readFileSync(join(folder, 'readings.json'), 'utf8')) as { rows: Record<string, unknown>[] }
  const expected = stamps.map((_, second) => second)
  expect(rows.map((row) => Number(row.split(',')[co]))).toEqual(expected)
  expect(told.rows.map((row) => row['co as_read [ppm]'])).toEqual(expected)
})

test('of a run that goes on the phase that goes on is exported, also of an instrument that does nothing but measure', async () => {
  const two = [gas('co'), gas('o2', { stream: 'beside' })]
  const station = aNightStation({ channels: two, beside: [besideStream('beside', two)] })
  const lines = Array.from({ length: 10 }, (_, number) => [
    aLine(ten + number * minute, { mode: number < 4 ? 'P' : 'S', co: 1 }),
    aLine(ten + number * minute, { mode: 'S', o2: 5 }, { stream: 'beside' }),
  ]).flat()
  const content = newExportContent(station, 'night', [])
  drive(station, [run('start', ten), ...lines], (outputs) => exportContent(content, outputs))
  await content.write({ folder, formats: ['csv'], decimal: '.' })
  content.averages.close()
  const [, ...rows] = readFileSync(join(folder, 'phases.csv'), 'utf8').trimEnd().split('\n')
  expect(rows.map((row) => row.trimEnd().split(',').slice(1))).toEqual([
    ['main', 'purge', '2026-01-15T10:00:00+00:00', '2026-01-15T10:04:00+00:00', 'status', 'false', '4'],
    ['beside', 'measure', '2026-01-15T10:00:00+00:00', '', 'status', 'false', ''],
    ['main', 'measure', '2026-01-15T10:04:00+00:00', '', 'status', 'false', ''],
  ])
})
