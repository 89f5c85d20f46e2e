declare const epochMs: unique symbol
/** Milliseconds since 1970-01-01T00:00:00Z. The only form in which an instant is kept or compared. */
export type EpochMs = number & { readonly [epochMs]: true }
export const instant = (value: number): EpochMs => value as EpochMs

declare const iso: unique symbol
/** A length of time as ISO 8601 text, whole minutes at least: `PT30M`, `PT1H`, `PT24H`. */
export type IsoDuration = string & { readonly [iso]: true }

const durationPattern = /^PT(?:(\d{1,4})H)?(?:(\d{1,5})M)?$/

/** `PT1H30M` → 5 400 000 ms; null when the text is not hours and whole minutes, or is zero. */
export function durationMs(text: string): number | null {
  const found = durationPattern.exec(text)
  if (!found) return null
  const minutes = Number(found[1] ?? 0) * 60 + Number(found[2] ?? 0)
  return minutes > 0 ? minutes * 60_000 : null
}

/** 5 400 000 → `PT1H30M`; whole minutes only. */
export function isoDuration(ms: number): IsoDuration {
  const minutes = Math.round(ms / 60_000)
  const hours = Math.floor(minutes / 60)
  const rest = minutes % 60
  return `PT${hours ? `${hours}H` : ''}${rest || !hours ? `${rest}M` : ''}` as IsoDuration
}

/** The calendar day of the station, whatever its length: 23, 24 or 25 hours. ISO 8601. */
export const calendarDay = 'P1D' as IsoDuration

const wholeRunPattern = /^PT(\d{1,9})S$/
/** The length of a whole run, told in seconds, so that it is never taken for a block of the same length: `PT28800S`. */
export const wholeRun = (ms: number): IsoDuration => `PT${Math.round(ms / 1000)}S` as IsoDuration
/** Stands for the whole run, however long, where averages are asked for or limited. */
export const anyWholeRun = 'run'
export const isWholeRun = (average: string): boolean => wholeRunPattern.test(average)

/** The length of any average, ms: a block's, the calendar day's (24 hours), a whole run's; null for other text. */
export function averageLengthMs(average: string): number | null {
  if (average === calendarDay) return 86_400_000
  const run = wholeRunPattern.exec(average)
  return run ? Number(run[1]) * 1000 : durationMs(average)
}
