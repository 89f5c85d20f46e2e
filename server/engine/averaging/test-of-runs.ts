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

/** What a test of several runs gives for one value. */
export interface TestResult
  extends Pick<
    AverageRow,
    'stream' | 'channel' | 'species' | 'quantity' | 'unit' | 'basis' | 'referenceOxygen' | 'conditions'
  > {
  /** The arithmetic mean of the run means; null where a run has none. */
  readonly mean: number | null
  /** Whether every run is valid by its own rule. */
  readonly valid: boolean
  readonly runs: readonly { readonly mean: number | null; readonly valid: boolean; readonly countedMs: number }[]
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
    runs: results.map(({ row }) => ({ mean: row.mean, valid: row.valid, countedMs: row.countedMs })),
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

const isSameValue = (one: AverageRow, other: AverageRow): boolean =>
  one.channel === other.channel &&
  one.quantity === other.quantity &&
  one.unit === other.unit &&
  one.basis === other.basis &&
  one.referenceOxygen === other.referenceOxygen &&
  one.conditions === other.conditions
