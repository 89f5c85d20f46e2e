import { byte, dropBlanks, isDigit, skipBlanks } from './bytes.ts'
import type { Spans } from './form.ts'
import { parseNumber } from './parse-number.ts'
import type { LineProfile } from './profile.ts'
import { digits, type TimeFormat, timeFormat, type WallTime } from './time-format.ts'
import { type ZoneTime, zoneTime } from './zone-time.ts'

type TimeSettings = NonNullable<LineProfile['time']>

const dayMs = 86_400_000
/** The last instant of the year 9999. */
const latestMs = 253_402_300_799_999
const longestTimeBytes = 128

/** Epoch formats and how many ms their unit holds. */
const epochUnitMs: Readonly<Record<string, number>> = { 'epoch-s': 1000, 'epoch-ms': 1 }
export const isEpoch = (format: string): boolean => Object.hasOwn(epochUnitMs, format)

/** The first place in [from, end) of `text` where the bytes from `at` on differ from it; `end` where they do not. */
function firstChange(bytes: Uint8Array, at: number, text: Uint8Array, from: number, end: number): number {
  let place = from
  while (place < end && bytes[at + place - from] === text[place]) place++
  return place
}

/**
 * The line's own time. Remembers the line before, for times without a date and for the hour that comes twice.
 *
 * A time of day takes the date that brings it nearest to where the line before and the time passed since then lead;
 * the first line is held against the time of arrival. So it rolls over at midnight, and a small step back stays one.
 */
export class TimeField {
  /** Whether the format has no date. */
  readonly datesByArrival: boolean
  readonly #slot: number
  readonly #lastSlot: number
  readonly #decimal: number
  readonly #epochUnitMs: number | undefined
  readonly #format: TimeFormat | null
  readonly #zone: ZoneTime
  readonly #wall: WallTime = { dayMs: Number.NaN, timeOfDayMs: Number.NaN, offsetMs: Number.NaN, secondsAt: -1 }
  /** The text read last, and where its parts begin and end in it. */
  readonly #text = new Uint8Array(longestTimeBytes)
  readonly #starts = new Int32Array(2)
  readonly #ends = new Int32Array(2)
  /** In what a time differs from the one before: bytes [from, to) of `#text`. */
  #changedFrom = 0
  #changedTo = 0
  /** Time of day of the one read last without its seconds, decimals included, ms; NaN where it has no seconds. */
  #minuteMs = Number.NaN
  /** Of the line accepted last: its instant, its wall-clock time and when it arrived. */
  #acceptedMs = Number.NaN
  #acceptedLocalMs = Number.NaN
  #acceptedAtMs = Number.NaN
  #readMs = Number.NaN
  #readLocalMs = Number.NaN
  #readAtMs = Number.NaN

  /** `slot`: the place of the first time field among the spans. */
  constructor(settings: TimeSettings, slot: number, decimal: string, stationZone: string) {
    this.#slot = slot
    this.#lastSlot = slot + settings.fields.length - 1
    this.#decimal = decimal.charCodeAt(0)
    this.#epochUnitMs = epochUnitMs[settings.format]
    const format = isEpoch(settings.format) ? null : timeFormat(settings.format)
    if (typeof format === 'string') throw new Error(`time.format: ${format}`)
    this.#format = format
    this.datesByArrival = format !== null && !format.hasDate
    const name = settings.zone === 'station' ? stationZone : settings.zone
    const zone = zoneTime(name)
    if (!zone) throw new Error(`there is no time zone “${name}”`)
    this.#zone = zone
  }

  /** The line's time, ms since 1970 UTC; NaN where it can't be read. */
  read(spans: Spans, atMs: number): number {
    for (let slot = this.#slot; slot <= this.#lastSlot; slot++)
      if ((spans.starts[slot] as number) < 0) return Number.NaN
    return this.#take(spans) ? this.#readText(atMs) : Number.NaN
  }

  /**
   * The time of a line whose parts stand at `starts` and differ from those read last in digits alone; NaN where they do not.
   * In the same minute only the seconds are read.
   */
  readAlike(source: Uint8Array, starts: Int32Array, atMs: number): number {
    this.#changedFrom = longestTimeBytes
    this.#changedTo = 0
    for (let part = 0; part <= this.#lastSlot - this.#slot; part++)
      if (!this.#takeAlike(source, starts[part] as number, part)) {
        // Part of the text is new, so the minute is no longer that of the text.
        this.#minuteMs = Number.NaN
        return Number.NaN
      }
    const { secondsAt } = this.#wall
    if (Number.isNaN(this.#minuteMs) || this.#changedFrom < secondsAt || this.#changedTo > secondsAt + 2)
      return this.#readText(atMs)
    const seconds = digits(this.#text, secondsAt, 2)
    if (seconds > 59) return Number.NaN
    this.#wall.timeOfDayMs = this.#minuteMs + 1000 * seconds
    this.#readAtMs = atMs
    return this.#inZone(atMs)
  }

  /** The line that was read last counts. */
  accept(): void {
    this.#acceptedMs = this.#readMs
    this.#acceptedLocalMs = this.#readLocalMs
    this.#acceptedAtMs = this.#readAtMs
  }

  reset(): void {
    this.#readMs = this.#readLocalMs = this.#readAtMs = Number.NaN
    this.accept()
  }

  /** The text of the time into `#text`, of two fields joined by a blank; false where it is too long for any time. */
  #take({ source, starts, ends }: Spans): boolean {
    const text = this.#text
    let length = 0
    for (let slot = this.#slot; slot <= this.#lastSlot; slot++) {
      if (length > 0) text[length++] = byte.blank
      const start = skipBlanks(source, starts[slot] as number, ends[slot] as number)
      const end = dropBlanks(source, start, ends[slot] as number)
      if (length + end - start >= longestTimeBytes) return false
      this.#starts[slot - this.#slot] = length
      for (let at = start; at < end; at++) text[length++] = source[at] as number
      this.#ends[slot - this.#slot] = length
    }
    return true
  }

  /** A part of the time that stands at `at` into `#text`, if only digits differ; false where anything else does. */
  #takeAlike(source: Uint8Array, at: number, part: number): boolean {
    const text = this.#text
    const start = this.#starts[part] as number
    const end = this.#ends[part] as number
    const from = firstChange(source, at, text, start, end)
    for (let place = from; place < end; place++) {
      const value = source[at + place - start] as number
      if (value === text[place]) continue
      if (!isDigit(value) || !isDigit(text[place])) return false
      text[place] = value
      this.#changedTo = place + 1
    }
    if (from < end && from < this.#changedFrom) this.#changedFrom = from
    return true
  }

  /** `#text` → the time, ms since 1970 UTC; NaN where it is none. */
  #readText(atMs: number): number {
    const text = this.#text
    const end = this.#ends[this.#lastSlot - this.#slot] as number
    this.#readAtMs = atMs
    if (this.#epochUnitMs !== undefined) {
      const ms = Math.round(parseNumber(text, 0, end, this.#decimal) * this.#epochUnitMs)
      this.#readMs = ms >= 0 && ms <= latestMs ? ms : Number.NaN
      return this.#readMs
    }
    const wall = this.#wall
    if (!this.#format?.read(text, 0, end, wall)) return Number.NaN
    this.#minuteMs = wall.secondsAt < 0 ? Number.NaN : wall.timeOfDayMs - 1000 * digits(text, wall.secondsAt, 2)
    return this.#inZone(atMs)
  }

  /** `#wall` → the instant, ms since 1970 UTC. */
  #inZone(atMs: number): number {
    const wall = this.#wall
    const day = this.#format?.hasDate ? wall.dayMs : this.#dayOf(wall.timeOfDayMs, atMs)
    this.#readLocalMs = day + wall.timeOfDayMs
    this.#readMs = Number.isNaN(wall.offsetMs)
      ? this.#zone.toUtc(this.#readLocalMs, this.#acceptedMs)
      : this.#readLocalMs - wall.offsetMs
    return this.#readMs
  }

  /** The day whose `timeOfDayMs` lies nearest to what is expected. */
  #dayOf(timeOfDayMs: number, atMs: number): number {
    const isFirst = Number.isNaN(this.#acceptedLocalMs)
    const passed = isFirst ? 0 : Math.max(0, atMs - this.#acceptedAtMs)
    const expected = isFirst ? this.#zone.toLocal(atMs) : this.#acceptedLocalMs + passed
    return Math.round((expected - timeOfDayMs) / dayMs) * dayMs
  }
}
