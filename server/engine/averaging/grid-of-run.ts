import type { EngineContext } from '../context.ts'
import { type BlockGrid, runGrid } from './grid.ts'

/**
 * Where a stream's blocks begin and end in the run that is on. Aligned to the run, all streams count from where the first of them
 * began it: lines that tell their own time begin seconds apart, and minutes of two grids could never be joined.
 */
export function gridOfRun(context: Pick<EngineContext, 'station' | 'clockGrid' | 'run'>, beginsMs: number): BlockGrid {
  if (context.station.averaging.align !== 'run') return context.clockGrid
  if (Number.isNaN(context.run.gridStartMs)) context.run.gridStartMs = beginsMs
  return runGrid(context.run.gridStartMs)
}
