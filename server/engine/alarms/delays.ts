import type { Alarm } from './alarm.ts'

/** Called when a delay is over: the condition stands (`enter`) or has gone (`leave`). */
export type Decide = (alarm: Alarm, input: 'enter' | 'leave', atMs: number) => void

/**
 * On- and off-delay: passed without break for the one, cleared without break for the other. A value between limit and
 * deadband breaks either. A stretch without values longer than `gapMs` breaks them too: what was not seen neither
 * raises an alarm nor lets one return. Shorter ones break nothing.
 * Source: OPC UA Part 9, B.1.5, as tabulated; the gap is our choice, since nothing is held over a gap.
 */
export function evaluate(alarm: Alarm, isPassed: boolean, isCleared: boolean, atMs: number, decide: Decide): void {
  const isBroken = atMs - alarm.lastValueMs > alarm.gapMs
  alarm.lastValueMs = atMs
  const moves = alarm.active ? isCleared : isPassed
  if (!moves || isBroken) stopDelay(alarm)
  if (!moves || alarm.pending !== 'none') return
  const delayMs = alarm.active ? alarm.offDelayMs : alarm.onDelayMs
  if (delayMs === 0) {
    finish(alarm, atMs, decide)
    return
  }
  alarm.pending = alarm.active ? 'off' : 'on'
  alarm.pendingSinceMs = atMs
  alarm.quiet = false
  alarm.axis.set(alarm.delay, atMs + delayMs)
}

/** The delay's timer rang. */
export function endDelay(alarm: Alarm, dueMs: number, decide: Decide): void {
  const isBroken = dueMs - alarm.lastValueMs > alarm.gapMs
  stopDelay(alarm)
  if (!isBroken) finish(alarm, dueMs, decide)
}

/** Forgets a delay that is under way; the condition stays as it was before. */
export function stopDelay(alarm: Alarm): void {
  if (alarm.pending === 'none') return
  alarm.axis.clear(alarm.delay)
  alarm.pending = 'none'
  alarm.quiet = !alarm.active
}

function finish(alarm: Alarm, atMs: number, decide: Decide): void {
  alarm.active = !alarm.active
  alarm.quiet = !alarm.active
  decide(alarm, alarm.active ? 'enter' : 'leave', atMs)
}
