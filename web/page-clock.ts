/** What the page knows of the station's clock: at `pageMs` of the page's own, unstepped clock it was `stationMs`. */
export interface ClockAnchor {
  readonly stationMs: number
  readonly pageMs: number
  /** Seconds of the station per second: 1, but for a night at speed and for playback. */
  readonly speed: number
}

/** How far one message may pull the estimate back; it follows a page clock that is 0.2 % fast at one message a second. */
const slewMs = 2

export const stationTime = (anchor: ClockAnchor, pageMs: number): number =>
  anchor.stationMs + (pageMs - anchor.pageMs) * anchor.speed

/**
 * Takes in one more word of the station's time. A message that was long on its way shows too early a time, so the
 * latest estimate wins and a lower one pulls only a little: a queue of old messages can't turn the clock back.
 */
export function followClock(anchor: ClockAnchor | null, told: ClockAnchor): ClockAnchor {
  if (anchor === null || anchor.speed !== told.speed) return told
  const expected = stationTime(anchor, told.pageMs)
  return { ...told, stationMs: Math.max(told.stationMs, expected - slewMs * told.speed) }
}
