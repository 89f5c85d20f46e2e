import type { AverageRow, Detection } from '../../../protocols/words/blocks.ts'
import { anyWholeRun } from '../../../protocols/words/time.ts'
import type { RowVerdict } from '../../../protocols/words/verdicts.ts'
import { combinedDetection } from '../decision/detection.ts'
import { verdictsOf } from '../decision/judge.ts'
import { type LimitsOfMeans, limitKey } from '../decision/limits-of-means.ts'
import { statedResult } from '../decision/stated-result.ts'
import type { StationFile } from '../settings/station-file.ts'

/** A run's average of one value, and the detection limit in its unit where there is one. */
export interface RunResult {
  readonly row: AverageRow
  readonly detectionLimit: number | null
}

/** How the run means of a test lie, in the value's unit. */
export interface RunSpread {
  readonly minimum: number
  readonly maximum: number
  /** Of the run means, n − 1, unweighted; null of one run. */
  readonly standardDeviation: number | null
}

/** What an average is of. */
export type ValueOfTest = Pick<
  AverageRow,
  'stream' | 'channel' | 'species' | 'quantity' | 'unit' | 'basis' | 'referenceOxygen' | 'conditions'
>

/** What a test of several runs gives for one value. */
export interface TestResult extends ValueOfTest {
  /** The arithmetic mean of the run means; null where a run has none. */
  readonly mean: number | null
  /** Whether every run is valid by its own rule. */
  readonly valid: boolean
  readonly runs: readonly Pick<AverageRow, 'mean' | 'valid' | 'countedMs' | 'uncertainty' | 'reasons'>[]
  /** How far the runs lie apart; null where a run has no mean. */
  readonly spread: RunSpread | null
  /** From how each run's mean stands to the detection limit. */
  readonly detection: Detection | null
  /** The mean of the runs' expanded uncertainties, as for averages of blocks; null where one is not known. */
  readonly uncertainty: number | null
  /** Against the limits of a run's average; none where a run is invalid. */
  readonly verdicts: readonly RowVerdict[]
}

/**
 * A test of several runs, value by value: the mean of the run means, however long each run was, never the mean of all
 * readings. A run below detection enters as the station's rule for such results says.
 *
 * runs: in order, each with all its values. A value that a run lacks makes no result. Source: 40 CFR 60.8(f), from memory; EPA GD-51
 * (2009) for results below detection.
 */
export function testOfRuns(
  runs: readonly (readonly RunResult[])[],
  station: Pick<StationFile, 'results'>,
  limits: LimitsOfMeans = new Map(),
): TestResult[] {
  const [first = []] = runs
  return first.flatMap((head) => {
    const found = runs.flatMap((results) => results.find(({ row }) => isSameValue(row, head.row)) ?? [])
    return found.length === runs.length ? [testOf(head.row, found, station, limits)] : []
  })
}

/** Values that some runs have and others lack: no result is formed of them. `runs`: places of those that have it. */
export function lackingValues(
  runs: readonly (readonly RunResult[])[],
): { readonly value: ValueOfTest; readonly runs: readonly number[] }[] {
  const known: { readonly value: ValueOfTest; readonly runs: number[] }[] = []
  runs.forEach((results, place) => {
    for (const { row } of results) {
      const found = known.find(({ value }) => isSameValue(value, row))
      if (found) found.runs.push(place)
      else known.push({ value: row, runs: [place] })
    }
  })
  return known.filter((one) => one.runs.length < runs.length)
}

function testOf(
  { stream, channel, species, quantity, unit, basis, referenceOxygen, conditions }: AverageRow,
  results: readonly RunResult[],
  station: Pick<StationFile, 'results'>,
  limits: LimitsOfMeans,
): TestResult {
  const small = station.results
  // Negative run means are kept: whether the result is cut off at 0 is asked once, at its end.
  const stated = results.flatMap(({ row, detectionLimit }) =>
    row.mean === null ? [] : [statedResult(row.mean, detectionLimit, { ...small, negative: 'as-is' })],
  )
  const isComplete = stated.length === results.length
  const mean = stated.reduce((sum, { value }) => sum + value, 0) / stated.length
  const result = {
    mean: isComplete ? statedResult(mean, null, small).value : null,
    valid: isComplete && results.every(({ row }) => row.valid),
    uncertainty: meanUncertainty(results),
  }
  const found = limits.get(limitKey('block', anyWholeRun, { channel, quantity, unit })) ?? []
  return {
    stream,
    channel,
    species,
    quantity,
    unit,
    basis,
    referenceOxygen,
    conditions,
    ...result,
    verdicts: verdictsOf(station, found, { ...result, state: 'final' }, null),
    runs: results.map(({ row: { mean: runMean, valid, countedMs, uncertainty, reasons } }) => ({
      mean: runMean,
      valid,
      countedMs,
      uncertainty,
      reasons,
    })),
    spread: spreadOf(results),
    detection: combinedDetection(
      results.map(({ row, detectionLimit }) => {
        if (row.mean === null || detectionLimit === null) return null
        return row.mean < detectionLimit ? 'BDL' : 'ADL'
      }),
    ),
  }
}

function meanUncertainty(results: readonly RunResult[]): number | null {
  const known = results.flatMap(({ row }) => row.uncertainty ?? [])
  return known.length === results.length ? known.reduce((sum, value) => sum + value, 0) / known.length : null
}

function spreadOf(results: readonly RunResult[]): RunSpread | null {
  const means = results.flatMap(({ row }) => row.mean ?? [])
  if (means.length < results.length || means.length === 0) return null
  const middle = means.reduce((sum, mean) => sum + mean, 0) / means.length
  const squares = means.reduce((sum, mean) => sum + (mean - middle) ** 2, 0)
  return {
    minimum: Math.min(...means),
    maximum: Math.max(...means),
    standardDeviation: means.length < 2 ? null : Math.sqrt(squares / (means.length - 1)),
  }
}

const isSameValue = (one: ValueOfTest, other: ValueOfTest): boolean =>
  one.channel === other.channel &&
  one.species === other.species &&
  one.quantity === other.quantity &&
  one.unit === other.unit &&
  one.basis === other.basis &&
  one.referenceOxygen === other.referenceOxygen &&
  one.conditions === other.conditions
