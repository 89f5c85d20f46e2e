import type { z } from 'zod'
import { byte, dropBlanks, isText, skipBlanks, standsAt } from './bytes.ts'
import { type FormReader, type LineForm, type Place, type ProfileProblem, type Refusal, refusal, type Spans } from './form.ts'
import type { keyValueProfile } from './profile.ts'
import { decodeText, encodeText } from './text-encoding.ts'

type KeyValueProfile = z.infer<typeof keyValueProfile>

const separatorText = (text: string): string => (text === '\\t' ? '\t' : text)

const rememberedParts = 256
const isDigit = (value: number | undefined): boolean => value !== undefined && value >= 48 && value <= 57

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
  /** Part of the line → place that it filled in the line before: most lines bring their parts in the same order. */
  readonly #expected = new Int16Array(rememberedParts)
  readonly #encoding: KeyValueProfile['encoding']
  #bare = 0

  constructor(profile: KeyValueProfile, places: readonly Place[]) {
    const encode = (text: string) => encodeText(separatorText(text), profile.encoding) ?? new Uint8Array(0)
    this.#between = encode(profile.between)
    this.#equals = encode(profile.equals)
    this.#isBlanks = profile.between === ' '
    this.#refusesBare = profile.bare === 'refused'
    this.#keys = places.map((at) => (typeof at === 'string' ? encode(at.trim()) : new Uint8Array(0)))
    this.#encoding = profile.encoding
    this.#positions = Int32Array.from(places, (at) => (typeof at === 'number' ? at : -1))
    this.#twins = Int32Array.from(places, (at, place) => places.findIndex((other, later) => later > place && other === at))
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    spans.source = bytes
    const { starts } = spans
    for (let place = 0; place < starts.length; place++) starts[place] = -1
    this.#bare = 0
    const ends = this.#between[0]
    const alsoEnds = this.#isBlanks ? byte.tab : ends
    const isLong = this.#between.length > 1
    const equalsBegins = this.#equals[0]
    let part = 0
    for (let at = start; at < end; part++) {
      const from = skipBlanks(bytes, at, end)
      let equals = -1
      for (at = from; at < end; at++) {
        const value = bytes[at]
        if (value === ends || value === alsoEnds) {
          if (!isLong || standsAt(bytes, at, end, this.#between)) break
        } else if (value === equalsBegins && equals < 0 && standsAt(bytes, at, end, this.#equals)) equals = at
      }
      const refused = at > from ? this.#take(bytes, from, equals, at, part, spans) : null
      if (refused) return refused
      at += this.#between.length
    }
    return null
  }

  reset(): void {
    this.#expected.fill(0)
  }

  /** One part, bytes [from, behind), with the place of its equals sign or −1. */
  #take(bytes: Uint8Array, from: number, equals: number, behind: number, part: number, spans: Spans): Refusal | null {
    const to = dropBlanks(bytes, from, behind)
    if (equals >= 0 && equals < to) {
      const keyEnd = dropBlanks(bytes, from, equals)
      const place = this.#placeOf(bytes, from, keyEnd, part)
      if (place >= 0) {
        // Two lines that were run together would otherwise pass for one.
        if ((spans.starts[place] as number) >= 0) return refusal('wrong_form', `“${decodeText(bytes, from, keyEnd, this.#encoding)}” comes twice`)
        this.#fill(place, equals + this.#equals.length, to, spans)
        return null
      }
      // A time of day as `22:00:01` is no name with a value, even where `:` is the equals sign.
      if (!isDigit(bytes[from])) return null
    }
    const place = this.#positions.indexOf(this.#bare++)
    if (place >= 0) this.#fill(place, from, to, spans)
    else if (this.#refusesBare) return refusal('wrong_form', `“${decodeText(bytes, from, to, this.#encoding)}” is no name with a value`)
    return null
  }

  #fill(first: number, start: number, end: number, spans: Spans): void {
    for (let place = first; place >= 0; place = this.#twins[place] as number) {
      spans.starts[place] = start
      spans.ends[place] = end
    }
  }

  #placeOf(bytes: Uint8Array, start: number, end: number, part: number): number {
    const remembered = part % rememberedParts
    const expected = this.#expected[remembered] as number
    const expectedKey = this.#keys[expected]
    if (expectedKey && isText(bytes, start, end, expectedKey) && end > start) return expected
    const place = end > start ? this.#keys.findIndex((key) => isText(bytes, start, end, key)) : -1
    if (place >= 0) this.#expected[remembered] = place
    return place
  }
}

export const keyValue: LineForm<KeyValueProfile> = {
  form: 'key-value',
  places: { kinds: ['name', 'position'], text: 'the name before the equals sign, or a position counted from 0 among the parts without one' },
  spansIn: 'profile',
  check(profile, places) {
    const problems: ProfileProblem[] = []
    const between = separatorText(profile.between)
    const equals = separatorText(profile.equals)
    if (between === equals) problems.push({ path: 'equals', message: `“${profile.equals}” is also what stands between the parts` })
    if (between === profile.decimal) problems.push({ path: 'between', message: `“${profile.between}” is the decimal mark too` })
    for (const { path, at } of places)
      if (typeof at === 'string' && (at.includes(between) || at.includes(equals)))
        problems.push({ path, message: `a name with “${at.includes(between) ? profile.between : profile.equals}” in it is cut there and never found` })
    return problems
  },
  compile: (profile, places) => new KeyValueReader(profile, places),
}
