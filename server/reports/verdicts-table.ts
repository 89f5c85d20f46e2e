import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { RowVerdict } from '../../protocols/words/verdicts.ts'
import { limitAlarms } from '../engine/alarms/limits.ts'
import { decimalsOf } from '../engine/decision/rounding.ts'
import { digitsOf, statedText } from '../engine/decision/stated-result.ts'
import type { LimitSettings, StationFile } from '../engine/settings/station-file.ts'
import { type Table, tableOf } from './table.ts'

interface JudgedRow {
  readonly row: AverageRow
  readonly verdict: RowVerdict
  readonly limit: LimitSettings
}

/** Averages that were compared with limits, in the order of `told`. `result` is rounded as the station states results; all else is unrounded. */
export function verdictsTable(run: string, station: StationFile, told: Iterable<AverageRow>): Table {
  const limits = new Map(limitAlarms(station).map(({ limitId, settings }) => [limitId, settings]))
  const judged = function* (): Generator<JudgedRow> {
    for (const row of told)
      for (const verdict of row.verdicts) {
        const limit = limits.get(verdict.limit)
        if (limit) yield { row, verdict, limit }
      }
  }
  const { results } = station
  return tableOf('verdicts', judged, [
    ['run', 'text', () => run],
    ['stream', 'text', ({ row }) => row.stream],
    ['channel', 'text', ({ row }) => row.channel],
    ['quantity', 'text', ({ row }) => row.quantity],
    ['unit', 'text', ({ row }) => row.unit],
    ['average', 'text', ({ row }) => row.average],
    ['start', 'time', ({ row }) => row.startMs],
    ['end', 'time', ({ row }) => row.endMs],
    ['mean', 'number', ({ row }) => row.mean],
    ['detection', 'text', ({ row }) => row.detection],
    ['compared', 'number', ({ verdict }) => verdict.result],
    ['result', 'numbers', ({ row, verdict, limit }) => resultText(station, row, verdict, limit)],
    ['uncertainty', 'number', ({ row }) => row.uncertainty],
    ['limit', 'text', ({ verdict }) => verdict.limit],
    ['limit_kind', 'text', ({ limit }) => limit.kind],
    ['limit_value', 'number', ({ limit }) => limit.value],
    ['uncertainty_is', 'text', () => results.uncertainty ?? null],
    ['comparison', 'text', () => results.comparison],
    ['verdict', 'text', ({ verdict }) => verdict.verdict],
    ['complies', 'truth', ({ verdict }) => verdict.complies],
  ])
}

function resultText({ results }: StationFile, row: AverageRow, { result }: RowVerdict, limit: LimitSettings): string {
  // What stands for the mean and is more than it is the detection limit, or 0 for a negative one.
  const isBelowDetection = row.mean !== null && row.mean < result && result > 0
  const digits = digitsOf(results.rounding, limit.decimals ?? decimalsOf(limit.value))
  return statedText({ value: result, isBelowDetection }, digits, results)
}
