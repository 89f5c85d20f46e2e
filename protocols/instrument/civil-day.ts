let heldKey = -1
let heldDayMs = Number.NaN

/** Midnight of a date of the Gregorian calendar as ms since 1970, without a zone; NaN for what is no date of the years 1970 to 9999. */
export function civilDayMs(year: number, month: number, day: number): number {
  if (!(year >= 1970 && month >= 1 && month <= 12 && day >= 1 && day <= 31)) return Number.NaN
  const key = (year * 16 + month) * 32 + day
  if (key === heldKey) return heldDayMs
  const ms = Date.UTC(year, month - 1, day)
  heldKey = key
  // The 31st of a short month would roll over into the next.
  heldDayMs = new Date(ms).getUTCDate() === day ? ms : Number.NaN
  return heldDayMs
}
