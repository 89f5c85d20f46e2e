import { DateTime, IANAZone } from 'luxon'

const minuteMs = 60_000
const hourMs = 3_600_000

/** A block as time: [startMs, endMs), UTC instants. */
export interface Period {
  readonly startMs: number
  readonly endMs: number
}

/** Where blocks begin and end, and the grid of minutes from which they are added up. */
export interface BlockGrid {
  /** Start of the minute that holds `ms`. Minutes, like blocks, are half-open. */
  minuteStart(ms: number): number
  /** The block of this length that holds `ms`. */
  block(lengthMs: number, ms: number): Period
}

/** Offset of the zone's standard time: the smaller of its offsets in January and July of that year. */
export function standardOffsetMinutes(zoneName: string, ms: number): number {
  const zone = IANAZone.create(zoneName)
  const year = new Date(ms).getUTCFullYear()
  return Math.min(zone.offset(Date.UTC(year, 0, 1)), zone.offset(Date.UTC(year, 6, 1)))
}

/**
 * Blocks counted from the run's start. The same elapsed time whatever the clocks do.
 */
export function runGrid(runStartMs: number): BlockGrid {
  const floor = (ms: number, length: number) => runStartMs + Math.floor((ms - runStartMs) / length) * length
  return {
    minuteStart: (ms) => floor(ms, minuteMs),
    block: (length, ms) => {
      const startMs = floor(ms, length)
      return { startMs, endMs: startMs + length }
    },
  }
}

/**
 * Blocks counted from local midnight, in legal time or in the zone's standard time all year (data-handling rules TM-1 to TM-3).
 *
 * Lengths are elapsed time, so a legal day of 25 hours holds 50 half-hours and one of 23 hours 46. Where the day is no
 * multiple of the length, its last block takes what the change of the clock added or took away: a block of 24 hours is
 * the legal day. Blocks are keyed by UTC instants, so that the two hours called 02:00 stay apart.
 */
export function clockGrid(zoneName: string, standardTime: boolean): BlockGrid {
  const zone = IANAZone.create(zoneName)
  let dayStart = Number.NaN
  let dayEnd = Number.NaN
  const findDay = (ms: number) => {
    if (standardTime) {
      const offset = standardOffsetMinutes(zoneName, ms) * minuteMs
      dayStart = Math.floor((ms + offset) / (24 * hourMs)) * 24 * hourMs - offset
      dayEnd = dayStart + 24 * hourMs
      return
    }
    const midnight = DateTime.fromMillis(ms, { zone }).startOf('day')
    dayStart = midnight.toMillis()
    dayEnd = midnight.plus({ days: 1 }).startOf('day').toMillis()
  }
  return {
    minuteStart: (ms) => Math.floor(ms / minuteMs) * minuteMs,
    block: (length, ms) => {
      if (!(ms >= dayStart && ms < dayEnd)) findDay(ms)
      const blocks = Math.max(1, Math.round((dayEnd - dayStart) / length))
      const number = Math.min(Math.floor((ms - dayStart) / length), blocks - 1)
      const startMs = dayStart + number * length
      return { startMs, endMs: number === blocks - 1 ? dayEnd : startMs + length }
    },
  }
}
