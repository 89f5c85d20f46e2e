import { type TestAnswer, testAnswer } from '../../../protocols/live/test.ts'
import { ask, withQuery } from '../../answers.ts'
import { unitName } from '../../format/units.ts'
import { copiedValue } from '../../parts/copied-value.ts'
import { tabSeparated } from '../../parts/copy-text.ts'
import * as averageTexts from '../../texts/averages.ts'
import * as testTexts from '../../texts/test-of-runs.ts'
import { verdictWords } from '../averages/row-verdict.ts'

/** `recordings`: ids, each one run; the first gives the rules and the limits. */
export const askTest = (recordings: readonly string[]) =>
  ask(testAnswer, withQuery('api/tests', { runs: recordings.join(',') }))

/** What runs are called, so that no two have one name: runs that follow one another often do. */
export const distinctNames = (runs: readonly { readonly name: string; readonly id: string }[]): string[] =>
  runs.map(({ name, id }) => (name === '' || runs.filter((one) => one.name === name).length > 1 ? id : name))

export const runNames = ({ runs }: TestAnswer): string[] =>
  distinctNames(runs.map(({ name, recording }) => ({ name, id: recording })))

/** The test as a table for a spreadsheet: every digit, each run in cells of its own. */
export function copiedTest(answer: TestAnswer, decimal: string): string {
  const { rows, channels, limits, results } = answer
  const names = runNames(answer)
  const heading = [
    ...testTexts.copiedHeading,
    ...names.flatMap((name) => [
      testTexts.copiedMean(name),
      testTexts.copiedCounted(name),
      testTexts.copiedValidity(name),
    ]),
  ]
  return tabSeparated(
    [
      heading,
      ...rows.map((row) => [
        ...copiedValue(row, channels),
        row.mean,
        row.uncertainty,
        row.spread?.minimum ?? null,
        row.spread?.maximum ?? null,
        row.spread?.standardDeviation ?? null,
        row.valid ? averageTexts.valid : averageTexts.invalid,
        row.verdicts
          .map((verdict) => {
            const limit = limits.find(({ id }) => id === verdict.limit)
            const named = limit
              ? averageTexts.itsLimitOf(`${limit.value} ${unitName(limit.unit)}`)
              : averageTexts.itsLimit
            const isUncertaintyKnown = row.uncertainty !== null
            return verdictWords({ verdict, named, isUncertaintyKnown, use: results.uncertainty }).said
          })
          .join('; '),
        row.detection,
        row.conditions,
        ...row.runs.flatMap(({ mean, countedMs, valid, reasons }) => [
          mean,
          countedMs / 60_000,
          [
            valid ? averageTexts.valid : averageTexts.invalid,
            ...reasons.map((reason) => averageTexts.reasonWords[reason]),
          ].join('; '),
        ]),
      ]),
    ],
    decimal,
  )
}
