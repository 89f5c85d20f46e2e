const hourMs = 3_600_000
const dayMs = 24 * hourMs
const quarterMs = 900_000
/** A repeated hour is taken for the second one when time would otherwise go back by more than this; less is two lines out of order. */
const outOfOrderMs = 60_000

const offsetPattern = /^([+-])(\d{2}):?(\d{2})$/

/** `+01:00` → 3 600 000; null where the text is no offset. */
function offsetOfText(text: string): number | null {
  const found = offsetPattern.exec(text)
  if (!found) return null
  const minutes = Number(found[2]) * 60 + Number(found[3])
  return minutes <= 18 * 60 ? (found[1] === '-' ? -1 : 1) * minutes * 60_000 : null
}

/** offset(instant) of a named zone; asked of `Intl`, which knows the rules. */
function namedOffset(zone: string): (utcMs: number) => number {
  const format = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    era: 'short',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  })
  return (utcMs) => {
    const part: Record<string, string> = {}
    for (const { type, value } of format.formatToParts(utcMs)) part[type] = value
    const local = Date.UTC(
      Number(part.year),
      Number(part.month) - 1,
      Number(part.day),
      Number(part.hour),
      Number(part.minute),
      Number(part.second),
    )
    return local - Math.floor(utcMs / 1000) * 1000
  }
}

/**
 * Wall clock of one zone ↔ instants. Local times are ms since 1970 as the wall clock shows them.
 * Holds the offset of the stretch that it was asked for last, so that lines in order cost two comparisons.
 */
export class ZoneTime {
  readonly #offset: (utcMs: number) => number
  /** Offsets already asked for, by instant; a few days’ worth. */
  readonly #known = new Map<number, number>()
  #heldFrom = Number.NaN
  #heldUntil = Number.NaN
  #heldOffset = 0

  /** A number: the same offset for ever. */
  constructor(offset: number | ((utcMs: number) => number)) {
    this.#offset = typeof offset === 'number' ? () => offset : offset
    if (typeof offset === 'number') this.#hold(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, offset)
  }

  offsetAt(utcMs: number): number {
    if (utcMs >= this.#heldFrom && utcMs < this.#heldUntil) return this.#heldOffset
    const day = Math.floor(utcMs / dayMs) * dayMs
    const atStart = this.#ask(day)
    // A zone changes its offset at most once a day, at a full quarter of an hour.
    if (atStart === this.#ask(day + dayMs)) return this.#hold(day, day + dayMs, atStart)
    const quarter = Math.floor(utcMs / quarterMs) * quarterMs
    return this.#hold(quarter, quarter + quarterMs, this.#ask(quarter))
  }

  #ask(utcMs: number): number {
    const known = this.#known.get(utcMs)
    if (known !== undefined) return known
    if (this.#known.size >= 256) this.#known.clear()
    const offset = this.#offset(utcMs)
    this.#known.set(utcMs, offset)
    return offset
  }

  #hold(from: number, until: number, offset: number): number {
    this.#heldFrom = from
    this.#heldUntil = until
    this.#heldOffset = offset
    return offset
  }

  /**
   * The instant at which the wall clock shows `localMs`. An hour that comes twice is the earlier one, unless time
   * would then go back by more than a minute against `previousMs` (NaN: nothing before); an hour that never comes
   * is read as if the clock had not been put forward.
   */
  toUtc(localMs: number, previousMs: number): number {
    const held = localMs - this.#heldOffset
    // Far enough from both ends of what is held, no change of the offset is near.
    if (held - hourMs * 3 >= this.#heldFrom && held + hourMs * 3 < this.#heldUntil) return held
    const before = this.offsetAt(localMs - dayMs)
    const behind = this.offsetAt(localMs + dayMs)
    const earlier = localMs - before
    const later = localMs - behind
    const earlierExists = this.offsetAt(earlier) === before
    if (before === behind) return earlier
    const laterExists = this.offsetAt(later) === behind
    if (earlierExists && laterExists) return earlier < previousMs - outOfOrderMs ? later : earlier
    return laterExists ? later : earlier
  }

  toLocal(utcMs: number): number {
    return utcMs + this.offsetAt(utcMs)
  }
}

/** `UTC`, an offset as `+01:00`, or a named zone; null where there is no such zone. */
export function zoneTime(zone: string): ZoneTime | null {
  const fixed = zone === 'UTC' ? 0 : offsetOfText(zone)
  if (fixed !== null) return new ZoneTime(fixed)
  if (/^[+-]/.test(zone)) return null
  try {
    return new ZoneTime(namedOffset(zone))
  } catch {
    // `Intl` throws for a zone that it does not know: that is the answer.
    return null
  }
}
