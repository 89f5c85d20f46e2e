import { valueQuantityNames } from '../../protocols/words/quantities.ts'
import { unitText } from '../../protocols/words/units.ts'
import type { lackingValues, TestResult, ValueOfTest } from '../engine/averaging/test-of-runs.ts'
import { runsOfTest } from '../engine/settings/regimes.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { TestedRun } from './tested-run.ts'

/** `co, at reference oxygen, mg/m³ at 3 % O₂, dry`. */
function valueText({ channel, quantity, unit, referenceOxygen, basis }: ValueOfTest): string {
  const referred = referenceOxygen === null ? '' : ` at ${referenceOxygen} % O₂`
  return `${channel}, ${valueQuantityNames[quantity]}, ${unitText[unit] ?? unit}${referred}${basis === null ? '' : `, ${basis}`}`
}

/** Why runs make no test together, each in a sentence; none where they do. */
export function runsThatDoNotFit(runs: readonly TestedRun[], results: readonly TestResult[]): string[] {
  const [first, ...rest] = runs
  if (!first) return []
  const copies = runs.flatMap(({ head, asked: { name } }, place) => {
    const other = head === null ? undefined : runs.slice(0, place).find((run) => run.head === head)
    return other ? [`${name}: is a copy of ${other.asked.name}; each run of a test counts once`] : []
  })
  const strangers = rest.flatMap(({ station: { station }, asked: { name } }) =>
    station.name === first.station.station.name
      ? []
      : [
          `${name}: was recorded at “${station.name}”, ${first.asked.name} at “${first.station.station.name}”; the runs of a test are of one station`,
        ],
  )
  if (copies.length + strangers.length > 0) return [...copies, ...strangers]
  if (results.length > 0) return []
  const has = (run: TestedRun): string => run.results.map(({ row }) => valueText(row)).join('; ')
  return [
    `these runs have no value in common: ${runs.map((run) => `${run.asked.name} has ${has(run)}`).join(' – ')}. A test needs the same channels, units and references in all of them`,
  ]
}

/** A value that makes no result, since runs lack it. */
export const lackingText = (lacking: ReturnType<typeof lackingValues>[number], runs: readonly TestedRun[]): string => {
  const names = lacking.runs.flatMap((place) => runs[place]?.asked.name ?? [])
  return `no result for ${valueText(lacking.value)}: only ${names.join(', ')} ${names.length === 1 ? 'has' : 'have'} it`
}

/** Where the regime names a number of runs and a test has another. */
export function numberOfRunsNotes({ regime }: StationFile, runs: number): string[] {
  const asked = runsOfTest(regime)
  if (asked === null || asked === runs) return []
  return [
    `a test of ${runs} runs: 40 CFR 60.8(f) asks for ${asked}; two may be accepted where one was lost by a forced shutdown, failed equipment or the weather. The rule and the authority decide`,
  ]
}
