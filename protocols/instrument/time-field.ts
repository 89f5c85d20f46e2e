import { dropBlanks, skipBlanks } from './bytes.ts'
import type { Spans } from './form.ts'
import { parseNumber } from './parse-number.ts'
import type { LineProfile } from './profile.ts'
import { type TimeFormat, timeFormat, type WallTime } from './time-format.ts'
import { type ZoneTime, zoneTime } from './zone-time.ts'

type TimeSettings = NonNullable<LineProfile['time']>

const dayMs = 86_400_000
/** The last instant of the year 9999. */
const latestMs = 253_402_300_799_999
const longestTimeBytes = 128

/** Epoch formats and how many ms their unit holds. */
const epochUnitMs: Readonly<Record<string, number>> = { 'epoch-s': 1000, 'epoch-ms': 1 }
export const isEpoch = (format: string): boolean => Object.hasOwn(epochUnitMs, format)

/**
 * The line's own time. Remembers the line before, for times without a date and for the hour that comes twice.
 *
 * A time of day takes the date that brings it nearest to where the line before and the time passed since then lead;
 * the first line is held against the time of arrival. So it rolls over at midnight, and a small step back stays one.
 */
export class TimeField {
  readonly #slot: number
  readonly #isSplit: boolean
  readonly #decimal: number
  readonly #epochUnitMs: number | undefined
  readonly #format: TimeFormat | null
  readonly #zone: ZoneTime
  readonly #wall: WallTime = { dayMs: Number.NaN, timeOfDayMs: Number.NaN, offsetMs: Number.NaN }
  readonly #joined = new Uint8Array(longestTimeBytes)
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
    this.#isSplit = settings.fields.length === 2
    this.#decimal = decimal.charCodeAt(0)
    this.#epochUnitMs = epochUnitMs[settings.format]
    const format = isEpoch(settings.format) ? null : timeFormat(settings.format)
    if (typeof format === 'string') throw new Error(`time.format: ${format}`)
    this.#format = format
    const name = settings.zone === 'station' ? stationZone : settings.zone
    const zone = zoneTime(name)
    if (!zone) throw new Error(`there is no time zone “${name}”`)
    this.#zone = zone
  }

  /** The line's time, ms since 1970 UTC; NaN where it can't be read. */
  read(spans: Spans, atMs: number): number {
    const first = spans.starts[this.#slot] as number
    if (first < 0) return Number.NaN
    if (!this.#isSplit) return this.#readText(spans.source, first, spans.ends[this.#slot] as number, atMs)
    if ((spans.starts[this.#slot + 1] as number) < 0) return Number.NaN
    const length = this.#join(spans)
    return length < 0 ? Number.NaN : this.#readText(this.#joined, 0, length, atMs)
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

  /** Date and time of day, one blank between them; −1 where they are too long for any time. */
  #join({ source, starts, ends }: Spans): number {
    let length = 0
    for (let slot = this.#slot; slot <= this.#slot + 1; slot++) {
      if (length > 0) this.#joined[length++] = 32
      const start = skipBlanks(source, starts[slot] as number, ends[slot] as number)
      const end = dropBlanks(source, start, ends[slot] as number)
      if (length + end - start >= longestTimeBytes) return -1
      for (let at = start; at < end; at++) this.#joined[length++] = source[at] as number
    }
    return length
  }

  #readText(bytes: Uint8Array, from: number, to: number, atMs: number): number {
    this.#readAtMs = atMs
    if (this.#epochUnitMs !== undefined) {
      const ms = Math.round(parseNumber(bytes, from, to, this.#decimal) * this.#epochUnitMs)
      this.#readMs = ms >= 0 && ms <= latestMs ? ms : Number.NaN
      return this.#readMs
    }
    const start = skipBlanks(bytes, from, to)
    const wall = this.#wall
    if (!this.#format?.read(bytes, start, dropBlanks(bytes, start, to), wall)) return Number.NaN
    const day = this.#format.hasDate ? wall.dayMs : this.#dayOf(wall.timeOfDayMs, atMs)
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
