import { type NightSpan, type SimulatedLine, simulateNight } from '../../simulator/night.ts'
import { checkScenario, readScenario, type Scenario, type ScenarioInput } from '../../simulator/scenario.ts'

/** A scenario of the simulator’s, changed in place by `change` and checked again. */
export function aScenario(change: (of: ScenarioInput) => void = () => {}, name = 'half-hour'): Scenario {
  const input = structuredClone(readScenario(name)) as ScenarioInput
  change(input)
  return checkScenario(input, name)
}

/** A short plant without mishaps but these. */
export const withMishaps = (...mishaps: NonNullable<ScenarioInput['mishaps']>): Scenario =>
  aScenario((of) => {
    of.mishaps = mishaps
  })

export const allLines = (scenario: Scenario, seed = 1, span: NightSpan = {}): SimulatedLine[] => [
  ...simulateNight(scenario, seed, span),
]

export interface JsonReading {
  readonly time: string
  readonly gas: Record<'o2' | 'co' | 'no' | 'no2' | 'so2' | 'co2' | 'temperature', number | string>
  readonly sample: Record<'flow' | 'cooler' | 'cells' | 'condensate', number>
  readonly state: string
  readonly faults: string
}
/** A line of the scenario `half-hour`, read by the JSON parser alone. */
export const jsonOf = (line: SimulatedLine): JsonReading => JSON.parse(line.bytes.toString('utf8'))
