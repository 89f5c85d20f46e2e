import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { strFromU8, unzipSync } from 'fflate'
import { afterAll, describe, expect, test } from 'vitest'
import type { StationFileInput } from '../../../server/engine/settings/station-file.ts'
import { amendRecording } from '../../../server/station/amendments/amend-recording.ts'
import { exportTestTo } from '../../../server/station/export-test.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
import { testOfRecordings } from '../../../server/station/test-recordings.ts'
import { aNightStation, gas, lineText, minute, ten } from '../../support/engine-night.ts'

const folder = mkdtempSync(join(tmpdir(), 'test-of-runs-'))
afterAll(() => rmSync(folder, { recursive: true }))

const limits: StationFileInput['limits'] = [
  { id: 'nox-test', channel: 'nox', of: 'block', average: 'run', value: 99, unit: 'ppm' },
]

/** A run of so many minutes at one value, recorded. `differs`: another station. */
async function recordedRun(
  name: string,
  minutes: number,
  nox: number,
  run: NonNullable<StationFileInput['averaging']>['run'],
  differs: Parameters<typeof aNightStation>[0] = {},
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
    ...differs,
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
  expect(await exportTestTo(runs, target)).toEqual({ files: ['test.csv', 'test.json', 'test.xlsx'], notes: [] })
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
    // By hand: the means lie 0, 10 and 10 ppm from 100, so √((0 + 100 + 100) / 2) = 10 ppm.
    run_minimum: 90,
    run_maximum: 110,
    run_standard_deviation: 10,
  })
  const sheet = strFromU8(
    unzipSync(readFileSync(join(folder, 'test.xlsx')))['xl/worksheets/sheet1.xml'] ?? new Uint8Array(),
  )
  const numbers = [...sheet.matchAll(/<v>([^<]*)<\/v>/g)].map(([, number]) => Number(number))
  for (const number of [100, 90, 110, 10]) expect(numbers).toContain(number)
})

test('the means of the runs have the decimal mark of the other numbers, and no apostrophe where the first is negative', async () => {
  const runs = [await recordedRun('under-zero', 60, -0.5, anHour), await recordedRun('over-zero', 60, 2.25, anHour)]
  const cells = async (decimal: '.' | ',') => {
    await exportTestTo(runs, { ...target, decimal })
    const [heading = [], row = []] = readFileSync(join(folder, 'test.csv'), 'utf8')
      .split('\n')
      .map((line) => line.split(decimal === ',' ? ';' : ','))
    return ['mean', 'run_means', 'run_counted_seconds'].map((name) => row[heading.indexOf(name)])
  }
  expect(await cells('.')).toEqual(['0.875', '-0.5|2.25', '3600|3600'])
  expect(await cells(',')).toEqual(['0,875', '-0,5|2,25', '3600|3600'])
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

// By hand: 60 readings of a minute each; the last 30 at 200 ppm and the others at 100 ppm give 150 ppm, without the last 30 100 ppm.
test('what was excluded of a run is excluded from the test too', async () => {
  const log = join(folder, 'doubtful.log')
  const recording = join(folder, 'doubtful.flue.sqlite')
  const text = Array.from({ length: 60 }, (_, number) =>
    lineText(ten + number * minute, { mode: 'S', nox: number < 30 ? 100 : 200 }),
  )
  writeFileSync(log, `${text.join('\n')}\n`)
  const station = aNightStation({
    channels: [gas('nox')],
    stream: { timeFrom: 'line' },
    averaging: { blocks: ['PT1H'], run: { rule: 'minutes', minimum: 20 } },
  })
  await importLogTo(log, station, JSON.stringify(station), recording)
  const other = await recordedRun('sound', 60, 100, anHour)
  const asked = [recording, other].map((path) => ({ name: path, path }))
  expect(testOfRecordings(asked).results[0]?.runs.map(({ mean }) => mean)).toEqual([150, 100])
  await amendRecording(recording, {
    by: 'A. Tester',
    nowMs: ten + 600 * minute,
    action: {
      do: 'exclude',
      exclusion: {
        id: 'exclusion-1',
        fromMs: ten + 30 * minute,
        toMs: ten + 60 * minute,
        stream: null,
        channel: null,
        reason: 'hose off the probe',
      },
    },
  })
  const [result] = testOfRecordings(asked).results
  expect(result?.runs.map(({ mean }) => mean)).toEqual([100, 100])
  expect(result?.runs[0]?.reasons).toContain('excluded')
})

// 40 CFR 60.8(f), from memory: three runs; two may be accepted where one was lost.
test('under the regime us a test of another number of runs than three says so', async () => {
  const us = (name: string) => recordedRun(name, 60, 100, anHour, { regime: 'us' })
  const runs = (await Promise.all([us('us-1'), us('us-2'), us('us-3')])).map((path) => ({ name: path, path }))
  expect(testOfRecordings(runs).notes).toEqual([])
  expect(testOfRecordings(runs.slice(0, 2)).notes).toEqual([
    expect.stringMatching(/^a test of 2 runs: 40 CFR 60\.8\(f\) asks for 3; two may be accepted/),
  ])
})

describe('runs that make no test together are refused, and it is said why', () => {
  const testOf = (...paths: string[]) =>
    testOfRecordings(paths.map((path) => ({ name: path.split('/').at(-1) ?? '', path })))

  test('a copy of a recording under another name counts once', async () => {
    const run = await recordedRun('original', 60, 100, anHour)
    const copy = join(folder, 'copied.flue.sqlite')
    copyFileSync(run, copy)
    expect(() => testOf(run, copy)).toThrow(
      'copied.flue.sqlite: is a copy of original.flue.sqlite; each run of a test counts once',
    )
  })

  test('runs of two stations', async () => {
    const here = await recordedRun('here', 60, 100, anHour)
    const there = await recordedRun('there', 60, 100, anHour, {
      station: { name: 'Boiler 9', timeZone: 'UTC', standardTime: false },
    })
    expect(() => testOf(here, there)).toThrow(
      /there\.flue\.sqlite: was recorded at “Boiler 9”, here\.flue\.sqlite at “/,
    )
  })

  test('runs without a value in common', async () => {
    const nox = await recordedRun('with-nox', 60, 100, anHour)
    const wet = await recordedRun('wet', 60, 100, anHour, { channels: [gas('nox', { basis: 'wet' })], limits: [] })
    expect(() => testOf(nox, wet)).toThrow(/have no value in common: with-nox\.flue\.sqlite has nox, as read, ppm, dry/)
  })

  test('a value that one run lacks makes no result, and that is told beside the others', async () => {
    const both = await recordedRun('both', 60, 100, anHour, {
      channels: [gas('nox'), gas('co')],
    })
    const one = await recordedRun('one', 60, 100, anHour)
    const { results, notes } = testOf(both, one)
    expect(results.map(({ channel }) => channel)).toEqual(['nox', 'nox'])
    expect(notes).toEqual([
      'no result for co, as read, ppm, dry: only both.flue.sqlite has it',
      'no result for co, mass concentration, mg/m³, dry: only both.flue.sqlite has it',
      'one.flue.sqlite was made with other settings than both.flue.sqlite: its mean and its validity are by its own, the test is judged by those of both.flue.sqlite',
    ])
  })
})
