import type { TimeEvent } from '../engine/events.ts'

/** Time alone brings something within two days, or nothing that is of interest: no block is longer than a day, no alarm is shelved for longer. */
const longestMs = 48 * 3_600_000

/**
 * What time alone brings after the last input of a run that goes on: the engine tells each instant at which something falls
 * due, `isThere` whether it has come, by what it puts out: `true`, it has; `false`, it has not, and nothing after it; null,
 * nothing tells. How far time has passed is not recorded, so what a station has stored of it must tell.
 */
export function letTimePass<Outputs>(
  engine: { nextDueMs(): number; step(event: TimeEvent): Outputs },
  isThere: (outputs: Outputs) => boolean | null,
): void {
  let fromMs = Number.NaN
  for (let atMs = engine.nextDueMs(); Number.isFinite(atMs); atMs = engine.nextDueMs()) {
    if (Number.isNaN(fromMs)) fromMs = atMs
    if (atMs - fromMs > longestMs) return
    const told = isThere(engine.step({ kind: 'time', atMs, monotonicMs: 0 }))
    if (told === false) return
    if (told) fromMs = atMs
  }
}
