import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { RowVerdict } from '../../../protocols/words/verdicts.ts'
import type { Accumulator } from '../averaging/accumulator.ts'
import type { AveragedValue } from '../averaging/average-values.ts'
import type { StationFile } from '../settings/station-file.ts'
import { type DetectionPlan, detectionOf, detectionPlan } from './detection.ts'
import { type LimitOfMean, type LimitsOfMeans, limitsOfValue } from './limits-of-means.ts'
import { statedResult } from './stated-result.ts'
import { decide } from './verdict.ts'

/** What is said of one averaged value beyond its numbers. */
export interface Judgement {
  readonly station: StationFile
  readonly limits: LimitsOfMeans
  readonly detection: DetectionPlan | null
}
/** Values of which nothing is said have no entry. */
export type Judgements = ReadonlyMap<AveragedValue, Judgement>

/** What is said of the values of one set. */
export function judgementsOf(
  station: StationFile,
  limits: LimitsOfMeans,
  values: readonly AveragedValue[],
): Judgements {
  return new Map(
    values.flatMap((value): [AveragedValue, Judgement][] => {
      const own = limitsOfValue(limits, station, value)
      const detection = detectionPlan(station, values, value)
      return own.size > 0 || detection ? [[value, { station, limits: own, detection }]] : []
    }),
  )
}

/**
 * The row with its detection flag and verdicts; the row itself where nothing is to be said. Its uncertainty must stand
 * already. A running or an invalid average gets no verdict.
 */
export function judgedRow(
  judgement: Judgement | undefined,
  of: 'block' | 'rolling',
  average: string,
  total: Accumulator,
  row: AverageRow,
): AverageRow {
  if (!judgement) return row
  const { station, detection } = judgement
  const limits = judgement.limits.get(`${of}/${average}`) ?? []
  return {
    ...row,
    detection: detection && row.mean !== null ? detectionOf(detection, total) : null,
    verdicts: verdictsOf(station, limits, row, limits.length > 0 ? (detection?.limitIn(total) ?? null) : null),
  }
}

/** detectionLimit: in the row's unit; null where there is none. */
export function verdictsOf(
  { results }: Pick<StationFile, 'results'>,
  limits: readonly LimitOfMean[],
  row: Pick<AverageRow, 'mean' | 'valid' | 'state' | 'uncertainty'>,
  detectionLimit: number | null,
): RowVerdict[] {
  const { uncertainty, comparison, rounding } = results
  if (uncertainty === undefined || limits.length === 0 || row.mean === null || !row.valid || row.state === 'open')
    return []
  const { value } = statedResult(row.mean, detectionLimit, results)
  return limits.map((limit) => ({
    limit: limit.id,
    ...decide(value, row.uncertainty, limit, { uncertainty, comparison, ties: rounding.ties }),
    result: value,
  }))
}
