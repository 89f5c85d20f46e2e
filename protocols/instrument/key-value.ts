import type { z } from 'zod'
import { dropBlanks, isBlank, isText, skipBlanks, standsAt } from './bytes.ts'
import { type FormReader, type LineForm, type Place, type ProfileProblem, type Refusal, refusal, type Spans } from './form.ts'
import type { keyValueProfile } from './profile.ts'
import { longestLineBytes } from './reader.ts'
import { encodeText } from './text-encoding.ts'

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
  /** Part of the line before → place: most lines bring their parts in the same order. */
  readonly #expected = new Int32Array(longestLineBytes + 1)
  #bare = 0

  constructor(profile: KeyValueProfile, places: readonly Place[]) {
    const encode = (text: string) => encodeText(separatorText(text), profile.encoding) ?? new Uint8Array(0)
    this.#between = encode(profile.between)
    this.#equals = encode(profile.equals)
    this.#isBlanks = profile.between === ' '
    this.#refusesBare = profile.bare === 'refused'
    this.#keys = places.map((at) => (typeof at === 'string' ? encode(at.trim()) : new Uint8Array(0)))
    this.#positions = Int32Array.from(places, (at) => (typeof at === 'number' ? at : -1))
    this.#twins = Int32Array.from(places, (at, place) => places.findIndex((other, later) => later > place && other === at))
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    spans.source = bytes
    spans.starts.fill(-1)
    this.#bare = 0
    const first = this.#between[0]
    const isLong = this.#between.length > 1
    let part = 0
    for (let at = start; at < end; part++) {
      const from = skipBlanks(bytes, at, end)
      let equals = -1
      for (at = from; at < end; at++) {
        const value = bytes[at]
        if (value === first || (this.#isBlanks && isBlank(value))) {
          if (!isLong || standsAt(bytes, at, end, this.#between)) break
        } else if (equals < 0 && value === this.#equals[0] && standsAt(bytes, at, end, this.#equals)) equals = at
      }
      if (at > from) {
        const refused = this.#take(bytes, from, equals, at, part, spans)
        if (refused) return refused
      }
      at += this.#between.length
    }
    return null
  }

  reset(): void {
    this.#expected.fill(0)
  }
}
