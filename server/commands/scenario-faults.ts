import { readScenario, ScenarioFault } from '../../simulator/scenario.ts'
import { isRecord } from '../engine/settings/regimes.ts'
import type { Fault, SettingsText } from '../station/settings-text.ts'

/** Faults of the scenarios that a station file names for the simulator, each at its setting. Streams that are no simulator have none. */
export function scenarioFaults(text: SettingsText): Fault[] {
  const streams = isRecord(text.value) && Array.isArray(text.value.streams) ? text.value.streams : []
  return streams.flatMap((stream: unknown, place) => {
    const source = isRecord(stream) ? stream.source : undefined
    if (!isRecord(source) || source.kind !== 'simulator' || typeof source.scenario !== 'string') return []
    return faultsOf(source.scenario).map((message) =>
      text.faultOf({ path: ['streams', place, 'source', 'scenario'], message }),
    )
  })
}

function faultsOf(scenario: string): readonly string[] {
  try {
    readScenario(scenario)
    return []
  } catch (error) {
    if (error instanceof ScenarioFault) return error.faults.map((fault) => `${JSON.stringify(scenario)}: ${fault}`)
    throw error
  }
}
