import { type RecordingSummary, recordingsIn } from '../recording/recordings-in.ts'
import { wasBroughtAlong } from './kept-files.ts'

export type LeftRun = Extract<RecordingSummary, { readable: true }>

/** A run that was left longer ago is not gone on with (our choice: as far as a line's own time may be ahead of the one before). */
const longestLeftMs = 31 * 24 * 3_600_000

/**
 * The run that was left going in a data folder, killed or suspended: what a station goes on with. null: none. One that was
 * brought along, as a copy of a run that went on, is another station's, or a second time this one's: it stays as it is.
 */
export function leftRun(folder: string): LeftRun | null {
  const isLeft = (found: RecordingSummary): found is LeftRun =>
    found.readable &&
    !found.header.standby &&
    !wasBroughtAlong(folder, found.file) &&
    (found.runState === 'running' || found.runState === 'suspended')
  return recordingsIn(folder).findLast(isLeft) ?? null
}

/**
 * The run that a station goes on with at `nowMs`, unless it was left so long ago that its averages would be those of the time
 * between: a year of empty minutes takes a gigabyte, and the decades after a clock that began at 1970 every disk.
 */
export function runToGoOnWith(folder: string, nowMs: number, log: (text: string) => void): LeftRun | null {
  const left = leftRun(folder)
  const lastMs = left?.extent.lastMs ?? null
  if (left === null || lastMs === null || nowMs - lastMs <= longestLeftMs) return left
  log(
    `the run in ${left.file} was left at ${new Date(lastMs).toISOString()}, more than 31 days ago: it stays as it is, and is not gone on with. If the clock of this computer is wrong, stop, set it, and start again`,
  )
  return null
}
