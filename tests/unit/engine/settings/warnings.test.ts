import { describe, expect, test } from 'vitest'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import { stationWarnings } from '../../../../server/engine/settings/warnings.ts'
import { aChannel, aStation } from '../../../support/a-station.ts'

type Rest = Partial<Omit<StationFileInput, 'channels'>>
const co = aChannel('co', { species: 'CO' })
const warned = (channels: StationFileInput['channels'], rest: Rest = {}): string[] =>
  stationWarnings(aStation(channels, rest)).map(({ path, message }) => `${path.join('.')} ${message}`)

test('wet gas without a moisture is neither dried nor referred, and that is said', () => {
  expect(warned([{ ...co, basis: 'wet' }])).toEqual([
    'channels.0.basis co is wet and conversions.moisture is not set: it is neither dried nor referred',
  ])
  expect(warned([{ ...co, basis: 'wet' }], { conversions: { moisture: { percent: 12 } } })).toEqual([])
})

test('a schedule that nobody asks', () => {
  expect(warned([co], { phases: { schedule: [{ phase: 'purge', everyMinutes: 60, lengthSeconds: 300 }] } })).toEqual([
    'phases.schedule is set and not asked: phases.from has status, operator',
  ])
})

test('an instrument that is asked more rarely than its answers are expected: most of the time would count as missing', () => {
  const asked = (everySeconds: number): string[] => {
    const station = aStation([co])
    const [stream] = station.streams
    if (!stream) throw new Error('the station has no stream')
    return stationWarnings({
      ...station,
      streams: [{ ...stream, expectEverySeconds: 10, poll: { send: '?\r', everySeconds } }],
    }).map(({ path, message }) => `${path.join('.')} ${message}`)
  }
  expect(asked(60)).toEqual([
    'streams.0.expectEverySeconds 10 s is how long each answer counts, and there is one every 60 s: the rest of the time counts as missing; set 60',
  ])
  expect([...asked(10), ...asked(15), ...asked(2)]).toEqual([])
})

test('minutes that no block is long enough for', () => {
  expect(warned([co], { averaging: { blocks: ['PT1M', 'PT1H'], validity: { rule: 'minutes', minimum: 45 } } })).toEqual(
    ['averaging.validity.minimum 45 minutes can never be met in PT1M'],
  )
})

describe('whether the method may be used', () => {
  test('is asked under a regime, until the file names the method', () => {
    const [asked = ''] = warned([co], { regime: 'us' })
    expect(asked).toMatch(/^plant\.method is not set: .*ASTM D6522.*fuels and uses only.*consent of the authority/)
    expect(warned([co], { regime: 'us', plant: { method: 'portable cells; the authority consents' } })).toEqual([])
    expect(warned([co])).toEqual([])
  })
})

describe('what a verdict makes of the uncertainty', () => {
  const limit = { channel: 'co', of: 'block', average: 'PT30M', value: 100, unit: 'ppm' } as const
  test('is asked as soon as an average has a limit: nothing is taken by default', () => {
    expect(warned([co], { limits: [limit] })).toEqual([
      'results.uncertainty is not set, so averages get no verdict against their limits: set "subtract", "add" or "ignore", as the permit compares',
    ])
    expect(warned([co], { limits: [limit], results: { uncertainty: 'add' } })).toEqual([])
  })
  test('is not asked for limits of readings, which get no verdict', () => {
    expect(warned([co], { limits: [{ channel: 'co', of: 'reading', value: 100, unit: 'ppm' }] })).toEqual([])
  })
})
