import { resolve } from 'node:path'
import { lackingValues, type RunResult, type TestResult, testOfRuns } from '../engine/averaging/test-of-runs.ts'
import type { EngineContext } from '../engine/context.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { Trouble } from '../trouble.ts'
import { drive } from './drive-engine.ts'
import { settingsBesideSources, stationFromSettings } from './recorded-settings.ts'
import { lackingText, runsThatDoNotFit } from './test-fit.ts'

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

export interface RecordedTest {
  readonly runs: readonly TestedRun[]
  readonly results: readonly TestResult[]
  /** What must be known to read the results. */
  readonly notes: readonly string[]
}

/** The averages over one recording's run, with what amends it. A `Trouble` where there are none. */
function runOf(asked: RunAsked): TestedRun {
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

/**
 * A test of several recordings, each one run; judged by the rules and limits of the first. A `Trouble` where they are not of one
 * station, where one stands in it twice, or where they have no value in common.
 */
export function testOfRecordings(asked: readonly RunAsked[]): RecordedTest {
  const twice = asked.find(({ path }, place) =>
    asked.some((other, at) => at < place && resolve(other.path) === resolve(path)),
  )
  if (twice) throw new Trouble(`${twice.name}: is named twice; each run of a test counts once`)
  const runs = asked.map(runOf)
  const [first] = runs
  if (!first) throw new Trouble('a test needs recordings')
  const results = testOfRuns(
    runs.map((run) => run.results),
    first.station,
    first.context.limitsOfMeans,
  )
  const misfits = runsThatDoNotFit(runs, results)
  if (misfits.length > 0) throw new Trouble(misfits.join('\n'))
  const others = runs.filter((run) => settingsBesideSources(run.station) !== settingsBesideSources(first.station))
  return {
    runs,
    results,
    notes: [
      ...lackingValues(runs.map((run) => run.results)).map((lacking) => lackingText(lacking, runs)),
      ...others.map(
        ({ asked: { name } }) =>
          `${name} was made with other settings than ${first.asked.name}: its mean and its validity are by its own, the test is judged by those of ${first.asked.name}`,
      ),
    ],
  }
}
