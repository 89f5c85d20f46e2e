import type { StationClock } from '../clock.ts'

/** A run of weeks takes a while to go over. */
const everyMs = 10_000

/** Says now and then how far a run that goes on has been gone over. */
export function goingOverProgress(
  clock: Pick<StationClock, 'monotonicMs'>,
  log: (text: string) => void,
): (done: number, inAll: number) => void {
  let toldMs = clock.monotonicMs()
  return (done, inAll) => {
    const nowMs = clock.monotonicMs()
    if (nowMs - toldMs < everyMs) return
    toldMs = nowMs
    log(
      `its averages are formed anew, ${Math.min(100, Math.floor((100 * done) / inAll))} % so far; lines that come meanwhile are recorded`,
    )
  }
}
