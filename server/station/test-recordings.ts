import { resolve } from 'node:path'
import { lackingValues, type TestResult, testOfRuns } from '../engine/averaging/test-of-runs.ts'
import { Trouble } from '../trouble.ts'
import { settingsBesideSources } from './recorded-settings.ts'
import { lackingText, numberOfRunsNotes, runsThatDoNotFit } from './test-fit.ts'
import { type RunAsked, type TestedRun, testedRun } from './tested-run.ts'

export interface RecordedTest {
  readonly runs: readonly TestedRun[]
  readonly results: readonly TestResult[]
  /** What must be known to read the results. */
  readonly notes: readonly string[]
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
  const runs = asked.map(testedRun)
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
      ...numberOfRunsNotes(first.station, runs.length),
      ...lackingValues(runs.map((run) => run.results)).map((lacking) => lackingText(lacking, runs)),
      ...others.map(
        ({ asked: { name } }) =>
          `${name} was made with other settings than ${first.asked.name}: its mean and its validity are by its own, the test is judged by those of ${first.asked.name}`,
      ),
    ],
  }
}
