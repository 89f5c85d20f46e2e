import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { EngineContext } from '../context.ts'

/** Puts averages out, and what rests on them: limits that are held against valid ones, and averages of these blocks. */
export function publishRows(
  context: EngineContext,
  kind: 'block' | 'rolling',
  rows: readonly AverageRow[],
  atMs: number,
): void {
  for (const row of rows) context.outputs.push({ kind, row })
  context.meanLimits.take(kind, rows, atMs)
  if (kind === 'block')
    for (const longer of context.averagesOfBlocks.take(rows)) publishRows(context, longer.kind, longer.rows, atMs)
}

/**
 * Puts averages out again that waited for the next zero, now final; averages of blocks rest on these. Alarms rest on what was
 * known when they were first told.
 */
export function publishRevised(
  context: EngineContext,
  kind: 'block' | 'rolling',
  rows: readonly AverageRow[],
  atMs: number,
): void {
  for (const row of rows) context.outputs.push({ kind, row, revises: 'next zero' })
  if (kind === 'block')
    for (const longer of context.averagesOfBlocks.take(rows)) publishRows(context, longer.kind, longer.rows, atMs)
}
