import { describe, expect, test } from 'vitest'
import { stationFile } from '../../../server/engine/settings/station-file.ts'
import { checkScenario, readScenario, ScenarioFault, scenarioNames } from '../../../simulator/scenario.ts'
import { stationFor } from '../../../simulator/station-for.ts'

const faultsOf = (change: (of: ReturnType<typeof readScenario>) => unknown): readonly string[] => {
  const input = structuredClone(readScenario('half-hour'))
  change(input as never)
  try {
    checkScenario(input, 'night.json')
  } catch (fault) {
    if (fault instanceof ScenarioFault) return fault.faults
    throw fault
  }
  return []
}

describe.each(scenarioNames)('%s', (name) => {
  test('is a valid scenario, marked as invented', () => {
    expect(readScenario(name)).toMatchObject({ name, invented: true })
  })

  test('brings a station file that the station accepts', () => {
    const outcome = stationFile.safeParse(
      stationFor(readScenario(name), { kind: 'tcp', host: '127.0.0.1', port: 7000 }, { speed: 60 }),
    )
    expect(outcome.error?.issues ?? []).toEqual([])
    expect(outcome.data?.streams[0]).toMatchObject({ timeFrom: 'line', expectEverySeconds: 1 })
    expect(outcome.data?.clock.speed).toBe(60)
  })

  test('states in the station file the ranges and response times of its cells', () => {
    const { instrument, station } = readScenario(name)
    const stated = station.channels.filter((channel) =>
      instrument.cells.some((cell) => cell.species === channel.species),
    )
    expect(
      stated
        .filter((channel) => channel.origin === 'measured')
        .map((channel) => [channel.species, channel.range, channel.t95Seconds, channel.selfZeroing]),
    ).toEqual(instrument.cells.map((cell) => [cell.species, cell.range, cell.statedT95Seconds, cell.selfZeroing]))
  })
})

test('all faults of a file are told at once, each with its path', () => {
  const faults = faultsOf((of) => {
    Object.assign(of, { hours: -1, extra: true })
    Object.assign(of.burner, { fuel: 'peat' })
    Object.assign(of.instrument.cells[0]!, { resolution: 0 })
  })
  expect(faults.map((fault) => fault.split(':')[0])).toEqual([
    'hours',
    'burner.fuel',
    'instrument.cells[0].resolution',
    '(file)',
  ])
})

type Change = (of: ReturnType<typeof readScenario>) => unknown
const tooMuch = { name: 'x', massFractions: { C: 0.9, H: 0.2 } }
const fields =
  'o2, co, no, no2, so2, co2, gas-temperature, sample-flow, cooler-outlet, cell-temperature, condensate-level, state, faults'

test.each<[string, Change, string]>([
  [
    'a mishap after the end',
    (of) => of.mishaps.push({ what: 'mute', atMinutes: 30, forMinutes: 1 }),
    'mishaps[5].atMinutes: begins after the script’s end at 30 minutes',
  ],
  [
    'a field that the profile lacks',
    (of) => of.instrument.writes.push({ field: 'h2s', what: 'load' }),
    `instrument.writes[13].field: "h2s" is no field of the profile; it has ${fields}`,
  ],
  ['a cell that is missing', (of) => of.instrument.cells.splice(1, 1), 'mishaps[4].species: needs a cell for CO'],
  [
    'a zone that does not exist',
    (of) => Object.assign(of.station.station, { timeZone: 'Mars/Olympus' }),
    'station.station.timeZone: "Mars/Olympus" is no time zone',
  ],
  [
    'more than the whole as mass fractions',
    (of) => Object.assign(of.burner, { fuel: tooMuch }),
    'burner.fuel.massFractions: the mass fractions must not sum to more than 1',
  ],
  [
    'a schedule out of order',
    (of) => of.burner.schedule.reverse(),
    'burner.schedule: the points must come in the order of time',
  ],
  [
    'a range the wrong way round',
    (of) => Object.assign(of.instrument.cells[1]!, { span: { uniform: [2, 1] } }),
    'instrument.cells[1].span.uniform: the lower end comes first',
  ],
  [
    'a word for a number',
    (of) => Object.assign(of.instrument.cells[1]!, { span: 'good' }),
    'instrument.cells[1].span: a number, { "uniform": [low, high] } or { "normal": { "mean", "standardDeviation" } }',
  ],
])('%s is refused with its path and what is allowed', (_, change, expected) => {
  expect(faultsOf(change)).toContain(expected)
})

test('a mishap that nobody knows is refused with those that are known', () => {
  const faults = faultsOf((of) => of.mishaps.push({ what: 'gremlins', atMinutes: 1 } as never))
  expect(faults).toHaveLength(1)
  expect(faults[0]).toMatch(/^mishaps\[5\]\.what: .*trap-full/)
})

test('a file that is missing or no JSON is told as such', () => {
  expect(() => readScenario('/nowhere/night.json')).toThrow('there is no such file')
  expect(() => readScenario(new URL(import.meta.url).pathname)).toThrow('is not JSON')
})
