import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import type { StationFileInput } from '../../../server/engine/settings/station-file.ts'
import { exportTestTo } from '../../../server/station/export-test.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
import { aNightStation, gas, lineText, minute, ten } from '../../support/engine-night.ts'

const folder = mkdtempSync(join(tmpdir(), 'test-of-runs-'))
afterAll(() => rmSync(folder, { recursive: true }))

const limits: StationFileInput['limits'] = [
  { id: 'nox-test', channel: 'nox', of: 'block', average: 'run', value: 99, unit: 'ppm' },
]

/** A run of so many minutes at one value, recorded. */
async function recordedRun(
  name: string,
  minutes: number,
  nox: number,
  run: NonNullable<StationFileInput['averaging']>['run'],
) {
  const log = join(folder, `${name}.log`)
  const recording = join(folder, `${name}.flue.sqlite`)
  const text = Array.from({ length: minutes }, (_, number) => lineText(ten + number * minute, { mode: 'S', nox }))
  writeFileSync(log, `${text.join('\n')}\n`)
  const station = aNightStation({
    channels: [gas('nox')],
    stream: { timeFrom: 'line' },
    averaging: { blocks: ['PT1H'], ...(run ? { run } : {}) },
    results: { uncertainty: 'ignore' },
    ...(run === 'none' ? {} : { limits }),
  })
  await importLogTo(log, station, JSON.stringify(station), recording)
  return recording
}

const target = { folder, formats: ['csv', 'json', 'xlsx'], decimal: '.' } as const
const anHour = { rule: 'minutes', minimum: 60 } as const

// 40 CFR 60.8(f), from memory: the arithmetic mean of three runs. Runs of 100, 110 and 90 ppm: 100 ppm.
test('three recordings make a test: the mean of their run means, each run with its own validity', async () => {
  const runs = await Promise.all([
    recordedRun('run-1', 60, 100, anHour),
    recordedRun('run-2', 60, 110, anHour),
    recordedRun('run-3', 60, 90, anHour),
  ])
  expect(await exportTestTo(runs, target)).toEqual({ files: ['test.csv', 'test.json'], notes: [] })
  const [row] = JSON.parse(readFileSync(join(folder, 'test.json'), 'utf8')).rows
  expect(row).toMatchObject({
    channel: 'nox',
    mean: 100,
    run_means: '100|110|90',
    runs_valid: 'true|true|true',
    valid: true,
    limit: 'nox-test',
    verdict: 'above',
    complies: false,
  })
})

test('a run that is too short is flagged, keeps its weight, and the test gets no verdict', async () => {
  const runs = [await recordedRun('long', 60, 100, anHour), await recordedRun('short', 30, 90, anHour)]
  await exportTestTo(runs, target)
  const [row] = JSON.parse(readFileSync(join(folder, 'test.json'), 'utf8')).rows
  expect(row).toMatchObject({ mean: 95, runs_valid: 'true|false', valid: false, verdict: null, complies: null })
})

test('a recording without an average over its run cannot be part of a test, and that is said', async () => {
  const run = await recordedRun('unasked', 60, 100, 'none')
  await expect(exportTestTo([run], target)).rejects.toThrow(
    'unasked.flue.sqlite: its station file forms no average over the run',
  )
})

test('a run counts once in a test', async () => {
  const run = await recordedRun('once', 60, 100, anHour)
  await expect(exportTestTo([run, run], target)).rejects.toThrow('is named twice')
})
