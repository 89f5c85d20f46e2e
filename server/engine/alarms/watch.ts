import type { HealthCause } from '../settings/station-file.ts'

/** How a watch says that a condition stands or has gone; it says so once per change. */
export type TellCondition = (cause: HealthCause, isActive: boolean, atMs: number) => void

/** A watch that time alone can move. As with the alarms, it does not matter how often `advance` is called. */
export interface TimedWatch {
  /** When it next has something to say by itself, ms of station time; Infinity when nothing is due. */
  readonly nextDueMs: number
  /** Says what became due up to and including `toMs`, each at its own moment. */
  advance(toMs: number): void
}
