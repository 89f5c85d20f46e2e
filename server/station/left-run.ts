import { type RecordingSummary, recordingsIn } from '../recording/recordings-in.ts'

export type LeftRun = Extract<RecordingSummary, { readable: true }>

/** The run that was left going in a data folder, killed or suspended: what a station goes on with. null: none. */
export function leftRun(folder: string): LeftRun | null {
  const isLeft = (found: RecordingSummary): found is LeftRun =>
    found.readable && !found.header.standby && (found.runState === 'running' || found.runState === 'suspended')
  return recordingsIn(folder).findLast(isLeft) ?? null
}
