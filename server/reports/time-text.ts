import { IANAZone } from 'luxon'
import { standardOffsetMinutes } from '../engine/averaging/grid.ts'

/** How a station tells the time. */
export interface StationTime {
  readonly timeZone: string
  /** The zone's standard time all year. */
  readonly standardTime: boolean
}

/** Whose clock it is, for the heading of a column. */
export const zoneText = ({ timeZone, standardTime }: StationTime): string =>
  `${timeZone}${standardTime ? ', standard time' : ''}`

const minuteMs = 60_000
/** Offsets change on the quarter-hour at the most: real zones do so on the full hour. */
const quarterMs = 15 * minuteMs

/** Instants, ms since 1970 UTC, as a station tells them. */
export interface StationClock {
  /** `2026-10-25T02:30:00+01:00`; a fraction of a second only where there is one. */
  text(ms: number): string
  /** The wall clock's reading as if it were UTC: what a spreadsheet, which knows no zones, is to show. */
  wallMs(ms: number): number
}

/** A clock of a station; it remembers the offset of the last quarter-hour. */
export function stationClock({ timeZone, standardTime }: StationTime): StationClock {
  const zone = IANAZone.create(timeZone)
  let quarter = Number.NaN
  let offsetMinutes = 0
  const offsetAt = (ms: number): number => {
    const now = Math.floor(ms / quarterMs)
    if (now !== quarter) {
      quarter = now
      offsetMinutes = standardTime ? standardOffsetMinutes(timeZone, ms) : zone.offset(ms)
    }
    return offsetMinutes
  }
  return {
    text(ms) {
      const offset = offsetAt(ms)
      const local = new Date(ms + offset * minuteMs).toISOString().replace(/(?:\.000)?Z$/, '')
      const [hours, minutes] = [Math.floor(Math.abs(offset) / 60), Math.abs(offset) % 60]
      return `${local}${offset < 0 ? '-' : '+'}${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`
    },
    wallMs: (ms) => ms + offsetAt(ms) * minuteMs,
  }
}
