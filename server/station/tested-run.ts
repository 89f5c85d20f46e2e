import type { RunResult } from '../engine/averaging/test-of-runs.ts'
import type { EngineContext } from '../engine/context.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { Trouble } from '../trouble.ts'
import { drive } from './drive-engine.ts'
import { stationFromSettings } from './recorded-settings.ts'

/** A recording that is to be one run of a test, under the name by which it was asked for. */
export interface RunAsked {
  readonly name: string
  readonly path: string
}

export interface TestedRun {
  readonly asked: RunAsked
  readonly runName: string
  readonly invented: boolean
  /** Of the newest seal: equal in copies of one recording alone. */
  readonly head: string | null
  readonly station: StationFile
  readonly context: EngineContext
  readonly results: readonly RunResult[]
}

/** The averages over one recording's run, with what amends it. A `Trouble` where there are none. */
export function testedRun(asked: RunAsked): TestedRun {
  const { name, path } = asked
  const reader = openRecording(path)
  try {
    const { settings, origin, runName, invented } = reader.header
    const station = stationFromSettings(settings)
    if (station.averaging.run === 'none')
      throw new Trouble(`${name}: its station file forms no average over the run; a test needs averaging.run`)
    const { context } = drive(station, reader.inputs(), () => {}, {
      amendments: amendmentsOf(reader.changes()),
      unendedCounts: origin === 'imported',
    })
    if (context.runResults.length === 0)
      throw new Trouble(`${name}: its run has not ended, so it has no average over the run yet`)
    const { head } = reader.extent()
    return { asked, runName, invented, head, station, context, results: [...context.runResults] }
  } finally {
    reader.close()
  }
}
