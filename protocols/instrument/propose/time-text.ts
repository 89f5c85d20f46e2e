import { timeFormat, type WallTime } from '../time-format.ts'

/** What the texts of one column may be: a date, a time of day, both, or seconds since 1970. */
export interface TimeGuess {
  readonly format: string
  readonly kind: 'both' | 'date' | 'time' | 'epoch'
  /** 0.5 where day and month could be the other way round: then `isOpen`. */
  readonly confidence: number
  readonly isOpen?: boolean
  readonly reason: string
}

const dateParts = /^(\d{1,4})([./-])(\d{1,2})\2(\d{2,4})$/
const timeParts = /^(\d{1,2})([:.h])(\d{2})(?:([:.m])(\d{2})(?:([.,])(\d{1,9}))?)?( ?[AaPp][Mm])?$/
const encoder = new TextEncoder()

/** The letters of a part that has one digit somewhere take one or two. */
const letterOf = (texts: readonly string[], letter: string): string =>
  texts.some((text) => text.length === 1) ? letter : letter + letter

/** The one format that fits all these dates; null where none does. `monthFirst`: which way it is taken where the dates leave it open. */
function dateFormat(
  texts: readonly string[],
  monthFirst: boolean,
): { readonly format: string; readonly isSure: boolean } | null {
  const found = texts.map((text) => dateParts.exec(text))
  const first = found[0]
  if (!first || found.some((each) => each?.[2] !== first[2])) return null
  const mark = first[2] ?? ''
  const [one, two, three] = [1, 3, 4].map((group) => found.map((each) => each?.[group] ?? ''))
  if (!one || !two || !three) return null
  const largest = (of: readonly string[]) => Math.max(...of.map(Number))
  if (one.every((text) => text.length === 4))
    return { format: `yyyy${mark}${letterOf(two, 'M')}${mark}${letterOf(three, 'd')}`, isSure: true }
  if (one.some((text) => text.length > 2)) return null
  const year = three.every((text) => text.length === 4) ? 'yyyy' : three.every((text) => text.length === 2) ? 'yy' : ''
  if (year === '') return null
  const isSure = largest(one) > 12 || largest(two) > 12 || mark === '.'
  const [a, b] = (isSure ? largest(two) > 12 && largest(one) <= 12 : monthFirst) ? ['M', 'd'] : ['d', 'M']
  return { format: `${letterOf(one, a as string)}${mark}${letterOf(two, b as string)}${mark}${year}`, isSure }
}

function clockFormat(texts: readonly string[]): string | null {
  const found = texts.map((text) => timeParts.exec(text))
  const first = found[0]
  if (!first || found.includes(null)) return null
  const same = (group: number) => found.every((each) => each?.[group] === first[group])
  if (!same(2) || !same(4) || !same(6)) return null
  const half = first[8]
  if (found.some((each) => (each?.[8] === undefined) !== (half === undefined))) return null
  const hour = letterOf(
    found.map((each) => each?.[1] ?? ''),
    half ? 'h' : 'H',
  )
  const quoted = (mark: string | undefined) => (mark && /[a-z]/.test(mark) ? `'${mark}'` : (mark ?? ''))
  const seconds = first[5] === undefined ? '' : `${quoted(first[4])}ss${first[6] === undefined ? '' : `${first[6]}SSS`}`
  return `${hour}${quoted(first[2])}mm${seconds}${half ? `${half.startsWith(' ') ? ' ' : ''}a` : ''}`
}

/** Where hours go to 12, dates mostly begin with the month (common practice, no source). */
export const goesWithMonthFirst = (clock: string): boolean => clock.endsWith('a')

const wall: WallTime = { dayMs: 0, timeOfDayMs: 0, offsetMs: 0, secondsAt: -1 }

/** Whether a format reads all the texts, by the code that will read the lines. */
export function fitsAll(format: string, texts: readonly string[]): boolean {
  const reads = timeFormat(format)
  if (typeof reads === 'string') return false
  return texts.every((text) => {
    const bytes = encoder.encode(text)
    return reads.read(bytes, 0, bytes.length, wall)
  })
}

const hasOffset = (text: string): boolean => /(?:[zZ]|[+-]\d{2}:?\d{2})$/.test(text.slice(16))

/** Compact forms without marks; only where the column’s name or the way it goes on says that it is a time. */
const compact: readonly { readonly format: string; readonly kind: TimeGuess['kind']; readonly looks: RegExp }[] = [
  { format: 'yyyyMMddHHmmss', kind: 'both', looks: /^(?:19|20)\d{12}$/ },
  { format: "yyyyMMdd'T'HHmmss", kind: 'both', looks: /^(?:19|20)\d{6}T\d{6}$/ },
  { format: 'yyMMddHHmmss', kind: 'both', looks: /^\d{12}$/ },
  { format: 'yyyyMMdd', kind: 'date', looks: /^(?:19|20)\d{6}$/ },
  { format: 'HHmmss', kind: 'time', looks: /^\d{6}$/ },
  { format: 'HHmmss.SSS', kind: 'time', looks: /^\d{6}\.\d{1,9}$/ },
]
const namesTime = /time|zeit|heure|hora|date|datum|clock|utc|stamp|^t$/i

/** 2000-01-01 to 2100-01-01 in seconds. */
const epochSeconds = [946_684_800, 4_102_444_800] as const

function epochOf(texts: readonly string[], isNamed: boolean): TimeGuess | null {
  if (!texts.every((text) => /^\d{10}(?:\.\d{1,9})?$|^\d{13}$/.test(text))) return null
  const values = texts.map(Number)
  const isMs = texts.every((text) => text.length === 13)
  const [least, most] = isMs ? epochSeconds.map((edge) => edge * 1000) : epochSeconds
  const inRange = values.every((value) => value >= (least as number) && value <= (most as number))
  const rises = values.filter((value, place) => place > 0 && value < (values[place - 1] as number)).length * 20
  if (!inRange || rises > values.length) return null
  const format = isMs ? 'epoch-ms' : 'epoch-s'
  return {
    format,
    kind: 'epoch',
    confidence: isNamed ? 0.95 : 0.8,
    reason: `rising numbers that are ${isMs ? 'milliseconds' : 'seconds'} since 1970`,
  }
}

/**
 * What kind of time these texts are; null where they are none. `label`: the column’s name. At most some hundred texts.
 * `monthFirst`: which way a date is taken that leaves it open.
 */
export function timeGuess(texts: readonly string[], label: string, monthFirst = false): TimeGuess | null {
  if (texts.length === 0 || texts.some((text) => text.length < 3 || text.length > 60)) return null
  const isNamed = namesTime.test(label)
  if (fitsAll('iso', texts)) {
    const offset = texts.every(hasOffset)
    return {
      format: 'iso',
      kind: 'both',
      confidence: offset ? 1 : 0.95,
      reason: offset ? 'ISO 8601 with its own offset' : 'ISO 8601 without an offset: taken for the station’s zone',
    }
  }
  const date = dateFormat(texts, monthFirst)
  if (
    date &&
    fitsAll(
      `${date.format} HH:mm`,
      texts.map((text) => `${text} 00:00`),
    )
  )
    return {
      format: date.format,
      kind: 'date',
      confidence: date.isSure ? 0.95 : 0.5,
      isOpen: !date.isSure,
      reason: date.isSure ? 'a date' : 'a date; whether day or month comes first cannot be told from these lines',
    }
  const clock = clockFormat(texts)
  // `8.14` is a number, and a time of day only where the column says so.
  if (clock && fitsAll(clock, texts) && (clock.includes(':') || clock.includes("'") || clock.includes('ss') || isNamed))
    return { format: clock, kind: 'time', confidence: 0.9, reason: 'a time of day' }
  return bothOf(texts) ?? epochOf(texts, isNamed) ?? compactOf(texts, isNamed)
}

/** Date and time of day in one text, one sign between them. */
function bothOf(texts: readonly string[]): TimeGuess | null {
  const cuts = texts.map((text) => /^([\d./-]{6,10})([ T_,;])(.{4,24})$/.exec(text))
  const between = cuts[0]?.[2]
  if (between === undefined || cuts.some((cut) => cut?.[2] !== between)) return null
  const clock = clockFormat(cuts.map((cut) => cut?.[3] ?? ''))
  if (clock === null) return null
  const date = dateFormat(
    cuts.map((cut) => cut?.[1] ?? ''),
    goesWithMonthFirst(clock),
  )
  if (!date) return null
  const format = `${date.format}${between === 'T' ? "'T'" : between}${clock}`
  if (!fitsAll(format, texts)) return null
  return {
    format,
    kind: 'both',
    confidence: date.isSure ? 0.95 : 0.5,
    isOpen: !date.isSure,
    reason: date.isSure
      ? 'date and time of day'
      : 'date and time of day; whether day or month comes first cannot be told',
  }
}

function compactOf(texts: readonly string[], isNamed: boolean): TimeGuess | null {
  const found = compact.find(({ looks }) => texts.every((text) => looks.test(text)))
  if (!found || (found.kind !== 'date' && !fitsAll(found.format, texts))) return null
  if (!isNamed && !goesOnAsTime(texts, found.format)) return null
  return {
    format: found.format,
    kind: found.kind,
    confidence: isNamed ? 0.8 : 0.6,
    reason: isNamed
      ? 'digits in a column that is named as a time'
      : 'digits that rise from line to line and go from 59 seconds to the next minute',
  }
}

/** Fewer lines may rise like a time by chance. */
const fewestOfTime = 10

/** Whether compact times rise from text to text and pass a full minute: no number that is read does. */
function goesOnAsTime(texts: readonly string[], format: string): boolean {
  const secondsAt = format.replaceAll("'", '').indexOf('ss')
  if (secondsAt < 0 || texts.length < fewestOfTime) return false
  const minutes = texts.map((text) => text.slice(0, secondsAt))
  const rises = texts.every((text, place) => place === 0 || text > (texts[place - 1] as string))
  return rises && new Set(minutes).size > 1
}
