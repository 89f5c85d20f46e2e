import type { z } from 'zod'
import { byte, dropBlanks, isDigit, isPartOfNumber, isText, skipBlanks, standsAt } from './bytes.ts'
import {
  type FormReader,
  type LineForm,
  type LooseText,
  type Place,
  type ProfileProblem,
  type Refusal,
  refusal,
  type Spans,
} from './form.ts'
import type { keyValueProfile } from './profile.ts'
import { decodeText, encodeText } from './text-encoding.ts'

type KeyValueProfile = z.infer<typeof keyValueProfile>

const separatorText = (text: string): string => (text === '\\t' ? '\t' : text)

/** Names with values: `O2=20.9;CO=112`, and parts without a name, counted among themselves. */
class KeyValueReader implements FormReader {
  readonly #between: Uint8Array
  readonly #equals: Uint8Array
  readonly #isBlanks: boolean
  readonly #refusesBare: boolean
  /** Name of each place, empty where the place is a position. */
  readonly #keys: readonly Uint8Array[]
  /** Position of each place among the parts without a name; −1 where it has a name. */
  readonly #positions: Int32Array
  /** Places with the same name or position are filled together: the next one of a place, −1 for the last. */
  readonly #twins: Int32Array
  readonly #profile: KeyValueProfile
  #bare = 0

  constructor(profile: KeyValueProfile, places: readonly Place[]) {
    const encode = (text: string) => encodeText(separatorText(text), profile.encoding) ?? new Uint8Array(0)
    this.#between = encode(profile.between)
    this.#equals = encode(profile.equals)
    this.#isBlanks = profile.between === ' '
    this.#refusesBare = profile.bare === 'refused'
    this.#keys = places.map((at) => (typeof at === 'string' ? encode(at.trim()) : new Uint8Array(0)))
    this.#profile = profile
    this.#positions = Int32Array.from(places, (at) => (typeof at === 'number' ? at : -1))
    this.#twins = Int32Array.from(places, (at, place) =>
      places.findIndex((other, later) => later > place && other === at),
    )
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    spans.source = bytes
    const { starts } = spans
    for (let place = 0; place < starts.length; place++) starts[place] = -1
    this.#bare = 0
    for (let at = start; at < end; at += this.#between.length) {
      const from = skipBlanks(bytes, at, end)
      at = this.#endOfPart(bytes, from, end)
      const refused = this.#take(bytes, from, at, spans)
      if (refused) return refused
    }
    return null
  }

  /** The values of names that no place asks for. */
  loose(bytes: Uint8Array, start: number, end: number): LooseText | null {
    const { between, equals, decimal } = this.#profile
    if (isPartOfNumber(between + equals, decimal)) return null
    const stretches: [number, number][] = []
    for (let at = start; at < end; ) {
      const from = skipBlanks(bytes, at, end)
      const behind = this.#endOfPart(bytes, from, end)
      const equalsAt = this.#equalsIn(bytes, from, behind)
      if (equalsAt < behind && !isDigit(bytes[from]) && this.#placeNamed(bytes, from, equalsAt) < 0)
        stretches.push([equalsAt + this.#equals.length, behind])
      at = behind + this.#between.length
    }
    return {
      stretches,
      ends: this.#between[0] as number,
      quote: -1,
      mayBeEmpty: true,
      isPadded: !this.#between.includes(byte.blank) && !this.#equals.includes(byte.blank),
      others: [],
    }
  }

  reset(): void {}

  #endOfPart(bytes: Uint8Array, start: number, end: number): number {
    const between = this.#between[0]
    const alsoBetween = this.#isBlanks ? byte.tab : between
    const isLong = this.#between.length > 1
    for (let at = start; at < end; at++) {
      const value = bytes[at]
      if ((value === between || value === alsoBetween) && (!isLong || standsAt(bytes, at, end, this.#between)))
        return at
    }
    return end
  }

  /** A part, bytes [from, behind). */
  #take(bytes: Uint8Array, from: number, behind: number, spans: Spans): Refusal | null {
    const to = dropBlanks(bytes, from, behind)
    if (from === to) return null
    const equals = this.#equalsIn(bytes, from, to)
    if (equals < to) {
      const place = this.#placeNamed(bytes, from, equals)
      if (place >= 0) return this.#fillNamed(place, equals + this.#equals.length, to, spans)
      // A time of day as `22:00:01` is no name with a value, even where `:` is the equals sign.
      if (!isDigit(bytes[from])) return null
    }
    const place = this.#placeAt(this.#bare++)
    if (place >= 0) this.#fill(place, from, to, spans)
    else if (this.#refusesBare)
      return refusal('wrong_form', `“${decodeText(bytes, from, to, this.#profile.encoding)}” is no name with a value`)
    return null
  }

  /** Where the first equals sign of a part stands; `end` where it has none. */
  #equalsIn(bytes: Uint8Array, start: number, end: number): number {
    const first = this.#equals[0]
    let at = start
    while (at < end && (bytes[at] !== first || !standsAt(bytes, at, end, this.#equals))) at++
    return at
  }

  /** The first place with the name in bytes [start, end); −1 for none. */
  #placeNamed(bytes: Uint8Array, start: number, end: number): number {
    const nameEnd = dropBlanks(bytes, start, end)
    return nameEnd > start ? this.#keys.findIndex((key) => isText(bytes, start, nameEnd, key)) : -1
  }

  #placeAt(position: number): number {
    for (let place = 0; place < this.#positions.length; place++) if (this.#positions[place] === position) return place
    return -1
  }

  /** A name that comes twice: two lines that were run together would otherwise pass for one. */
  #fillNamed(place: number, start: number, end: number, spans: Spans): Refusal | null {
    if ((spans.starts[place] as number) >= 0)
      return refusal(
        'wrong_form',
        `“${decodeText(this.#keys[place] as Uint8Array, 0, (this.#keys[place] as Uint8Array).length, this.#profile.encoding)}” comes twice`,
      )
    this.#fill(place, start, end, spans)
    return null
  }

  #fill(first: number, start: number, end: number, spans: Spans): void {
    for (let place = first; place >= 0; place = this.#twins[place] as number) {
      spans.starts[place] = start
      spans.ends[place] = end
    }
  }
}

export const keyValue: LineForm<KeyValueProfile> = {
  form: 'key-value',
  places: {
    kinds: ['name', 'position'],
    text: 'the name before the equals sign, or a position counted from 0 among the parts without one',
  },
  spansIn: 'profile',
  check(profile, places) {
    const problems: ProfileProblem[] = []
    const between = separatorText(profile.between)
    const equals = separatorText(profile.equals)
    if (between === equals)
      problems.push({ path: 'equals', message: `“${profile.equals}” is also what stands between the parts` })
    if (between === profile.decimal)
      problems.push({ path: 'between', message: `“${profile.between}” is the decimal mark too` })
    for (const { path, at } of places)
      if (typeof at === 'string' && (at.includes(between) || at.includes(equals)))
        problems.push({
          path,
          message: `a name with “${at.includes(between) ? profile.between : profile.equals}” in it is cut there and never found`,
        })
    return problems
  },
  compile: (profile, places) => new KeyValueReader(profile, places),
}
