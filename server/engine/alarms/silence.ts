import type { StreamSettings } from '../settings/station-file.ts'

/** Missed lines before a stream is silent. Source: communication lost after 3 × the expected step (common practice, no source). */
const MISSED_LINES = 3
/** However fast lines are expected and the clock runs, two real seconds pass before silence is called: an operating system may pause a process that long. Our choice. */
export const LEAST_REAL_MS = 2000

/** By how much lines may lag behind a clock that runs at another speed than real time, ms of station time; none at real speed. */
export const lagMs = (speed: number): number => (speed === 1 ? 0 : LEAST_REAL_MS * speed)

/** How long no line may come, ms of station time. `speed`: station seconds per real second. */
export const silentAfterMs = (expectEverySeconds: number, speed: number): number =>
  Math.round(Math.max(MISSED_LINES * expectEverySeconds * 1000, LEAST_REAL_MS * speed))

/** The same on the stream's own clock: the lines' own times know no pauses of the computer. */
export const unbrokenForMs = (stream: Pick<StreamSettings, 'expectEverySeconds' | 'timeFrom'>, speed: number): number =>
  silentAfterMs(stream.expectEverySeconds, stream.timeFrom === 'line' ? 0 : speed)
