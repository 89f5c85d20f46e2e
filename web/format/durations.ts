import { anyWholeRun, calendarDay, durationMs, isWholeRun } from '../../protocols/words/time.ts'
import * as lengthTexts from '../texts/lengths.ts'

const parts = (ms: number) => {
  const seconds = Math.max(0, Math.floor(ms / 1000))
  return {
    days: Math.floor(seconds / 86_400),
    hours: Math.floor(seconds / 3600) % 24,
    minutes: Math.floor(seconds / 60) % 60,
    seconds: seconds % 60,
  }
}

/** A length of time in words, two steps at most: `12 min 40 s`, `6 h 12 min`, `3 d 4 h`. Negative ones are none. */
export function durationText(ms: number): string {
  const { days, hours, minutes, seconds } = parts(ms)
  if (days) return hours ? `${days} d ${hours} h` : `${days} d`
  if (hours) return minutes ? `${hours} h ${minutes} min` : `${hours} h`
  if (minutes) return seconds ? `${minutes} min ${seconds} s` : `${minutes} min`
  return `${seconds} s`
}

/** What lies ahead or is only roughly known: `about 17 min`; under a minute `less than 1 min`. */
export function roughDurationText(ms: number): string {
  const minutes = Math.round(ms / 60_000)
  if (minutes < 1) return lengthTexts.lessThanMinute
  return minutes < 60 ? `${minutes} min` : durationText(minutes * 60_000)
}

/** The length of an average in words: `PT30M` → `30 minutes`, `PT1H` → `1 hour`, `PT1H30M` → `1 hour 30 minutes`, `P1D` → `day`. Unknown text stays. */
export function averageText(iso: string): string {
  if (iso === calendarDay) return lengthTexts.day
  if (iso === anyWholeRun || isWholeRun(iso)) return lengthTexts.wholeRun
  const ms = durationMs(iso)
  if (ms === null) return iso
  const hours = Math.floor(ms / 3_600_000)
  const minutes = (ms / 60_000) % 60
  const words: string[] = []
  if (hours) words.push(lengthTexts.hours(hours))
  if (minutes) words.push(lengthTexts.minutes(minutes))
  return words.join(' ')
}
