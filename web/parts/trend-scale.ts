import type { Picture } from '../history.ts'

/** Lowest and highest of a picture outside of all stretches that do not count, which come in order; null where nothing is left. `padMs`: a pixel at the edge of a stretch holds something of it, too. */
export function countedExtremes(
  { x, y }: Picture,
  apart: readonly { readonly startMs: number; readonly endMs: number }[],
  padMs: number,
): [number, number] | null {
  let [low, high, next] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0]
  x.forEach((seconds, index) => {
    const value = y[index]
    while (next < apart.length && (apart[next]?.endMs ?? 0) + padMs < seconds * 1000) next++
    if (value == null || (apart[next]?.startMs ?? Number.POSITIVE_INFINITY) - padMs <= seconds * 1000) return
    low = Math.min(low, value)
    high = Math.max(high, value)
  })
  return low <= high ? [low, high] : null
}

/** How a channel's own axis is laid: concentrations from zero, the rest around what they are. */
export interface ScaleWish {
  readonly fromZero: boolean
  /** Limits within three times the data are kept in view. */
  readonly limits: readonly number[]
  /** The least height, so that noise does not fill the chart. */
  readonly leastSpan: number
}

/** [lowest, highest] of the axis. Nothing to show gives a plain 0…1. */
export function axisRange(
  low: number | null,
  high: number | null,
  { fromZero, limits, leastSpan }: ScaleWish,
): [number, number] {
  if (low === null || high === null || !Number.isFinite(low) || !Number.isFinite(high)) {
    const top = Math.max(1, ...limits) * 1.15
    return [0, top]
  }
  const near = limits.filter((limit) => limit <= high * 3)
  const lowest = fromZero ? Math.min(0, low) : Math.min(low, ...near)
  const highest = Math.max(high, ...near)
  const span = Math.max(highest - lowest, leastSpan)
  const middle = (lowest + highest) / 2
  if (fromZero) return [lowest - (lowest < 0 ? span * 0.05 : 0), lowest + span * 1.12]
  return [middle - span * 0.58, middle + span * 0.58]
}
