import type { TestResult } from '../engine/averaging/test-of-runs.ts'
import { numberText } from './number-text.ts'
import { type Table, tableOf } from './table.ts'

/** A test of several runs: a row for each value, and for each limit of it. Numbers are unrounded; those of the runs stand in their order, parted by `|`. */
export function testTable(runs: readonly string[], results: readonly TestResult[]): Table {
  const rows = results.flatMap((result) =>
    (result.verdicts.length > 0 ? result.verdicts : [null]).map((verdict) => ({ result, verdict })),
  )
  return tableOf('test', () => rows, [
    ['runs', 'text', () => runs.join('|')],
    ['stream', 'text', ({ result }) => result.stream],
    ['channel', 'text', ({ result }) => result.channel],
    ['quantity', 'text', ({ result }) => result.quantity],
    ['unit', 'text', ({ result }) => result.unit],
    ['basis', 'text', ({ result }) => result.basis],
    ['reference_oxygen', 'number', ({ result }) => result.referenceOxygen],
    ['conditions', 'text', ({ result }) => result.conditions],
    ['mean', 'number', ({ result }) => result.mean],
    ['run_means', 'numbers', ({ result }) => result.runs.map(({ mean }) => numberText(mean)).join('|')],
    ['run_counted_seconds', 'numbers', ({ result }) => result.runs.map(({ countedMs }) => countedMs / 1000).join('|')],
    ['runs_valid', 'text', ({ result }) => result.runs.map(({ valid }) => valid).join('|')],
    ['valid', 'truth', ({ result }) => result.valid],
    ['detection', 'text', ({ result }) => result.detection],
    ['uncertainty', 'number', ({ result }) => result.uncertainty],
    ['limit', 'text', ({ verdict }) => verdict?.limit ?? null],
    ['verdict', 'text', ({ verdict }) => verdict?.verdict ?? null],
    ['complies', 'truth', ({ verdict }) => verdict?.complies ?? null],
    ['run_minimum', 'number', ({ result }) => result.spread?.minimum ?? null],
    ['run_maximum', 'number', ({ result }) => result.spread?.maximum ?? null],
    ['run_standard_deviation', 'number', ({ result }) => result.spread?.standardDeviation ?? null],
  ])
}
