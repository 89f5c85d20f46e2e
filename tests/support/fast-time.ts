import type { After } from '../../server/clock.ts'
import type { SourceClock } from '../../server/sources/source.ts'

/** Real time that passes `times` as fast, for what needs real files and sockets but not real waiting. */
export function fastTime(times: number): { readonly clock: SourceClock; readonly after: After } {
  const monotonicMs = (): number => performance.now() * times
  return {
    clock: { monotonicMs, stationMs: () => performance.timeOrigin + monotonicMs(), speed: () => 1 },
    after(ms, run) {
      const timer = setTimeout(run, ms / times)
      return () => clearTimeout(timer)
    },
  }
}
