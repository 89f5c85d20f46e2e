import { byte, isDigit } from './bytes.ts'
import { civilDayMs } from './civil-day.ts'

/** Numbers of this module's own: what belongs to another one is looked up anew each time, here for every digit. */
const { zero } = byte

/** What a time says, read from a line; overwritten by each. */
export interface WallTime {
  /** Midnight of its date as ms since 1970, without a zone; NaN where it has no date. */
  dayMs: number
  /** Since that midnight. */
  timeOfDayMs: number
  /** Its own offset from UTC, ms; NaN where it has none. */
  offsetMs: number
  /** Where its seconds stand, two digits, counted from its first byte; −1 where it has none such. */
  secondsAt: number
}

export interface TimeFormat {
  readonly hasDate: boolean
  /** Bytes [start, end) without blanks around → `into`; false where they are no such time. */
  read(bytes: Uint8Array, start: number, end: number, into: WallTime): boolean
}

/** Numbers [start, start + count) of exactly `count` digits; −1 where they are none. */
export function digits(bytes: Uint8Array, start: number, count: number): number {
  let sum = 0
  for (let at = start; at < start + count; at++) {
    const digit = (bytes[at] as number) - zero
    if (!(digit >= 0 && digit <= 9)) return -1
    sum = sum * 10 + digit
  }
  return sum
}

/** Decimals of a second from `at` on, as many digits as there are, in ms; finer ones than 1 µs are of no account. */
function decimalsMs(bytes: Uint8Array, at: number, end: number): number {
  let ms = 0
  for (let worth = 100; at < end && isDigit(bytes[at]) && worth > 0.0001; at++, worth /= 10)
    ms += ((bytes[at] as number) - zero) * worth
  return Math.round(ms)
}

function timeOfDay(hour: number, minute: number, second: number, ms: number): number {
  const fits = hour >= 0 && hour <= 23 && minute >= 0 && minute <= 59 && second >= 0 && second <= 59
  return fits ? ((hour * 60 + minute) * 60 + second) * 1000 + ms : Number.NaN
}

/** `Z`, `+01:00`, `+0100`, `+01`, or nothing at [at, end): ms, NaN for nothing; null for something else. */
function isoOffset(bytes: Uint8Array, at: number, end: number): number | null {
  if (at === end) return Number.NaN
  if (at + 1 === end && ((bytes[at] as number) | 0x20) === 0x7a) return 0
  const sign = bytes[at]
  if (sign !== byte.plus && sign !== byte.minus) return null
  const hours = digits(bytes, at + 1, 2)
  const behind = bytes[at + 3] === 58 ? at + 4 : at + 3
  const minutes = at + 3 === end ? 0 : behind + 2 === end ? digits(bytes, behind, 2) : -1
  if (at + 3 > end || hours < 0 || hours > 18 || minutes < 0 || minutes > 59) return null
  return (sign === byte.minus ? -60_000 : 60_000) * (hours * 60 + minutes)
}

/** `2012-01-24T22:00:01`, with a blank for the T, seconds, their decimals and an offset if they are there. Source: ISO 8601-1, extended format. */
const iso: TimeFormat = {
  hasDate: true,
  read(bytes, start, end, into) {
    if (
      end - start < 16 ||
      bytes[start + 4] !== byte.minus ||
      bytes[start + 7] !== byte.minus ||
      bytes[start + 13] !== 58
    )
      return false
    const between = bytes[start + 10]
    if (between !== 84 && between !== 116 && between !== byte.blank) return false
    let at = start + 16
    let second = 0
    let ms = 0
    if (bytes[at] === 58 && at + 3 <= end) {
      second = digits(bytes, at + 1, 2)
      at += 3
      if (at + 1 < end && (bytes[at] === byte.point || bytes[at] === 44)) {
        ms = decimalsMs(bytes, at + 1, end)
        if (!isDigit(bytes[++at])) return false
        while (at < end && isDigit(bytes[at])) at++
      }
    }
    const offset = isoOffset(bytes, at, end)
    if (offset === null) return false
    into.dayMs = civilDayMs(digits(bytes, start, 4), digits(bytes, start + 5, 2), digits(bytes, start + 8, 2))
    into.timeOfDayMs = timeOfDay(digits(bytes, start + 11, 2), digits(bytes, start + 14, 2), second, ms)
    into.offsetMs = offset
    into.secondsAt = at === start + 16 ? -1 : 17
    return !Number.isNaN(into.dayMs + into.timeOfDayMs)
  },
}

/** The parts of a time, as places in a row of numbers. */
const part = {
  year: 0,
  shortYear: 1,
  month: 2,
  day: 3,
  hour: 4,
  hour12: 5,
  minute: 6,
  second: 7,
  decimals: 8,
  half: 9,
} as const
type Part = (typeof part)[keyof typeof part]

/** What a letter stands for, and how many digits it takes at least and at most. */
const letters: Readonly<Record<string, { readonly part: Part; readonly least: number; readonly most: number }>> = {
  yyyy: { part: part.year, least: 4, most: 4 },
  yy: { part: part.shortYear, least: 2, most: 2 },
  MM: { part: part.month, least: 2, most: 2 },
  M: { part: part.month, least: 1, most: 2 },
  dd: { part: part.day, least: 2, most: 2 },
  d: { part: part.day, least: 1, most: 2 },
  HH: { part: part.hour, least: 2, most: 2 },
  H: { part: part.hour, least: 1, most: 2 },
  hh: { part: part.hour12, least: 2, most: 2 },
  h: { part: part.hour12, least: 1, most: 2 },
  mm: { part: part.minute, least: 2, most: 2 },
  m: { part: part.minute, least: 1, most: 2 },
  ss: { part: part.second, least: 2, most: 2 },
  s: { part: part.second, least: 1, most: 2 },
}

/** One step through a time: text that must stand there, or a number of so many digits. */
type Step = { readonly text: number } | { readonly part: Part; readonly least: number; readonly most: number }

/** `dd/MM/yyyy HH.mm.ss` → steps; a string says what is wrong with it. */
function stepsOf(format: string): Step[] | string {
  const steps: Step[] = []
  const quotedOrRun = /'([^']*)'|([A-Za-z])\2*|./gsu
  for (const found of format.matchAll(quotedOrRun)) {
    const [whole, quoted] = found
    const letter = letters[whole]
    if (letter) steps.push(letter)
    else if (/^S+$/.test(whole)) steps.push({ part: part.decimals, least: 1, most: 12 })
    else if (whole === 'a') steps.push({ part: part.half, least: 2, most: 2 })
    else if (quoted !== undefined) steps.push(...textSteps(quoted === '' ? "'" : quoted))
    else if (/[A-Za-z]/.test(whole))
      return `“${whole}” means nothing in a time; use yyyy yy MM M dd d HH H hh h mm ss SSS a, or quote it: '${whole}'`
    else steps.push(...textSteps(whole))
  }
  return steps
}
const textSteps = (text: string): Step[] => Array.from(new TextEncoder().encode(text), (value) => ({ text: value }))

/** `AM`, `p.m.` are not the same everywhere; only two letters are taken: 0 for AM, 12 for PM, −1 for neither. */
function halfOfDay(bytes: Uint8Array, at: number): number {
  const first = (bytes[at] as number) | 0x20
  if (((bytes[at + 1] as number) | 0x20) !== 109) return -1
  return first === 97 ? 0 : first === 112 ? 12 : -1
}

/** A format in letters; a string says what is wrong with it. */
function lettered(format: string): TimeFormat | string {
  const steps = stepsOf(format)
  if (typeof steps === 'string') return steps
  const has = (name: keyof typeof part) => steps.some((step) => 'part' in step && step.part === part[name])
  const dateParts = [has('year') || has('shortYear'), has('month'), has('day')].filter(Boolean).length
  if (dateParts !== 0 && dateParts !== 3)
    return `a date needs year, month and day${has('month') && !has('minute') ? '; MM is the month, minutes are mm' : ''}`
  const told = steps.flatMap((step) => ('part' in step ? [step.part] : []))
  if (new Set(told).size < told.length) return 'a part of the time stands in it twice; give each once'
  if (!has('hour') && !has('hour12')) return 'a time needs an hour: HH, H, hh or h'
  if (has('hour12') !== has('half')) return 'hh and a belong together: 12 hours with AM or PM'
  const parts = new Int32Array(Object.keys(part).length)
  const short = has('shortYear')
  const hasDate = dateParts === 3
  const twelve = has('hour12')
  const secondsAt = placeOfSeconds(steps)
  return {
    hasDate,
    read(bytes, start, end, into) {
      if (!walk(steps, parts, bytes, start, end)) return false
      const hour12 = parts[part.hour12] as number
      if (twelve && (hour12 < 1 || hour12 > 12)) return false
      const hour = twelve ? (hour12 % 12) + (parts[part.half] as number) : (parts[part.hour] as number)
      const year = short ? 2000 + (parts[part.shortYear] as number) : (parts[part.year] as number)
      into.dayMs = hasDate ? civilDayMs(year, parts[part.month] as number, parts[part.day] as number) : Number.NaN
      into.timeOfDayMs = timeOfDay(
        hour,
        parts[part.minute] as number,
        parts[part.second] as number,
        parts[part.decimals] as number,
      )
      into.offsetMs = Number.NaN
      into.secondsAt = secondsAt
      return !Number.isNaN(into.timeOfDayMs) && !(hasDate && Number.isNaN(into.dayMs))
    },
  }
}

/** Where `ss` stands when all before it is as wide in every time; −1 where it is not. */
function placeOfSeconds(steps: readonly Step[]): number {
  let at = 0
  for (const step of steps) {
    if ('part' in step && step.part === part.second) return step.least === 2 ? at : -1
    if ('part' in step && step.least !== step.most) return -1
    at += 'part' in step ? step.least : 1
  }
  return -1
}

/** Whether bytes [start, end) follow the steps to the end; the numbers go into `parts`. */
function walk(steps: readonly Step[], parts: Int32Array, bytes: Uint8Array, start: number, end: number): boolean {
  let at = start
  for (const step of steps) {
    if ('text' in step) {
      if (at >= end || bytes[at++] !== step.text) return false
      continue
    }
    if (at + step.least > end) return false
    if (step.part === part.half) {
      parts[part.half] = halfOfDay(bytes, at)
      if ((parts[part.half] as number) < 0) return false
      at += 2
      continue
    }
    let count = 0
    while (count < step.most && at + count < end && isDigit(bytes[at + count])) count++
    if (count < step.least) return false
    parts[step.part] = step.part === part.decimals ? decimalsMs(bytes, at, at + count) : digits(bytes, at, count)
    at += count
  }
  return at === end
}

/** `iso` or letters; a string says what is wrong with it. `epoch-s` and `epoch-ms` are numbers, not formats. */
export const timeFormat = (format: string): TimeFormat | string => (format === 'iso' ? iso : lettered(format))
