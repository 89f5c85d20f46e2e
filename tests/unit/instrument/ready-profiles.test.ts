import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { checkProfile } from '../../../protocols/instrument/check-profile.ts'
import { compileProfile } from '../../../protocols/instrument/compile-profile.ts'
import { lineProfile } from '../../../protocols/instrument/profile.ts'
import { linesOf, readLine, readyProfile, readySample } from '../../support/line-reading.ts'

const read = (name: string) => {
  const reader = compileProfile(readyProfile(name), { stationZone: 'Europe/Berlin' })
  return linesOf(readySample(name)).map((line) => readLine(reader, line, Date.UTC(2024, 2, 5, 22, 59, 56)))
}

const names = readdirSync(new URL('../../../protocols/instrument/profiles/', import.meta.url))
  .filter((file) => file.endsWith('.json'))
  .map((file) => file.slice(0, -5))

test('there is a ready profile of every form', () => {
  expect([...new Set(names.map((name) => readyProfile(name).form))].sort()).toEqual([
    'delimited',
    'fixed-width',
    'json-lines',
    'key-value',
    'pattern',
  ])
})

test.each(names)(
  '%s is sound, comes back from its JSON, and reads every line of its sample but harmless ones',
  (name) => {
    const profile = readyProfile(name)
    expect(checkProfile(profile)).toEqual([])
    expect(lineProfile.parse(JSON.parse(JSON.stringify(profile)))).toEqual(profile)
    expect(
      read(name)
        .map(({ refused }) => refused)
        .filter((reason) => reason !== null && reason !== 'comment' && reason !== 'header'),
    ).toEqual([])
  },
)

test('the boiler house: decimal commas, headings in another language, several status tokens', () => {
  const lines = read('boiler-house-columns').filter(({ refused }) => refused === null)
  expect(lines.map(({ values }) => values)).toEqual([
    [8.14, 112, 61, 64.1, 148.2, 1.21, 'missing'],
    [8.11, 'over', 60, 63, 148.3, 1.2, 'missing'],
    [20.9, 3, 0, 0, 121.7, 1.22, 'missing'],
    [8.2, 'missing', 59, 62, 147.9, 'missing', 'missing'],
  ])
  expect(lines.map(({ status }) => status)).toEqual([
    ['Messen'],
    ['Messen'],
    ['Spülen'],
    ['Messen', 'Kondensat', 'Pumpe'],
  ])
  expect(lines[0]?.time).toBe('2024-03-05T21:00:00.000Z')
})

test('the kiln: units, checksum, a status line between, dilution, midnight', () => {
  const lines = read('kiln-named')
  expect(lines.map(({ values }) => values)).toEqual([
    [7.9, 112, 31, 1, 'missing'],
    [7.8, 'over', 30, 10, 'missing'],
    ['absent', 'absent', 'absent', 'absent', 'absent'],
    [20.9, 2, 'missing', 10, 'missing'],
  ])
  expect(lines.map(({ status }) => status)).toEqual([['M'], ['M'], ['PURGE ON'], ['P']])
  expect(lines.map(({ time }) => time)).toEqual([
    '2024-03-05T22:59:56.000Z',
    '2024-03-05T22:59:58.000Z',
    null,
    '2024-03-05T23:00:00.000Z',
  ])
  expect(lines.map(({ dilution }) => dilution)).toEqual([1, 10, Number.NaN, 10])
})

test('the dryer: fixed columns', () => {
  const lines = read('dryer-fixed-columns').filter(({ refused }) => refused === null)
  expect(lines.map(({ values }) => values)).toEqual([
    [17.42, 88, 21.3, 'missing'],
    [17.4, 1204, 21.28, 'missing'],
    ['missing', -1, 'missing', 'missing'],
    [20.88, 0, 1.1, 'missing'],
  ])
  expect(lines.map(({ status }) => status)).toEqual([['M'], ['M'], [], ['S']])
})

test('the engine: nested JSON', () => {
  const lines = read('engine-nested')
  expect(lines.map(({ values }) => values)).toEqual([
    [8.12, 410.5, 31, 412.1, 'missing'],
    [8.1, 'missing', 31.2, 412.4, 'missing'],
    [20.9, 1, -0.4, 'absent', 'missing'],
  ])
  expect(lines.map(({ status }) => status)).toEqual([['run'], ['run', 'trap'], ['flush']])
  expect(lines[2]?.time).toBe(new Date(1709676002000).toISOString())
})

test('the furnace: words around the numbers', () => {
  const lines = read('furnace-worded').filter(({ refused }) => refused === null)
  expect(lines.map(({ values }) => values)).toEqual([
    [3.2, 45, -12.5, 'missing'],
    [3.1, 'over', 'absent', 'missing'],
    [20.9, 0, 'absent', 'missing'],
  ])
  expect(lines.map(({ time }) => time?.slice(14))).toEqual(['00:00.500Z', '00:01.000Z', '00:01.500Z'])
})

test('the profile that the documentation writes in ten minutes is sound and reads the lines beside it', () => {
  const page = readFileSync(new URL('../../../docs/line-profiles.md', import.meta.url), 'utf8')
  const steps = page.slice(page.indexOf('1. Catch'), page.indexOf('4. Check'))
  const profile = lineProfile.parse(JSON.parse(steps.slice(steps.indexOf('{'), steps.lastIndexOf('}') + 1)))
  const lines = steps
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => /^05\.03\.2024;/.test(line))
  const reader = compileProfile(profile, { stationZone: 'Europe/Berlin' })
  expect(lines.map((line) => readLine(reader, line)).map(({ values, status }) => [values, status])).toEqual([
    [[8.14, 112, 'missing'], ['Meas']],
    [[8.11, 'over', 'missing'], ['Meas']],
    [[20.9, 'missing', 'missing'], ['Purge']],
  ])
})
