import { byte, dropBlanks, isDigit, skipBlanks } from './bytes.ts'
import type { LooseText, Spans } from './form.ts'
import { readNumberAt } from './parse-number.ts'
import { longestLineBytes } from './reader.ts'

/** Numbers of this module's own: what belongs to another one is looked up anew each time, here for every byte of every line. */
const { blank } = byte

/** What follows a step's text: a number; the time, as long as it was; text that nobody asks for; the end of the line. */
const follows = { number: 0, time: 1, loose: 2, end: 3 } as const
type Follows = (typeof follows)[keyof typeof follows]

/** A stretch of a line that may differ in the next one. `place`: its place among the spans; −1 for loose text. */
interface Stretch {
  readonly start: number
  readonly end: number
  readonly kind: Follows
  readonly place: number
}

const mostSteps = 128
/** So many lines at most are read the long way before the next is learnt, where no shape serves. */
const longestWait = 64

/**
 * What a sound line looked like: the text around its numbers and its time. Most lines differ from the one before in their
 * digits alone; such a line is read in one pass over its bytes, and every byte of it is known to be the same, a digit, or
 * text that nobody asks for. Any other line is none of its business. Nothing is allocated but when a line is learnt.
 */
export class LineShape {
  /** Of the line that was fitted last: the number at each place where one stands. */
  readonly numbers: Float64Array
  /** Where the parts of the time begin in it. */
  readonly timeStarts = new Int32Array(2)
  /** Places that hold a number. */
  places: readonly number[] = []
  isKnown = false
  readonly #decimal: number
  readonly #text = new Uint8Array(longestLineBytes)
  /** Step s: bytes [#from[s], #from[s + 1]) of `#text`, then `#kind[s]`. */
  readonly #from = new Int32Array(mostSteps + 1)
  readonly #kind = new Uint8Array(mostSteps)
  /** Of a number its place, of a time its part, of loose text nothing. */
  readonly #place = new Int32Array(mostSteps)
  readonly #timeLengths = new Int32Array(2)
  #isPadded = false
  #looseEnds = 0
  #quote = -1
  #leastLoose = 0
  #hasServed = false
  #wait = 0
  #waited = 0

  /** `places`: so many spans hold fields; those behind them hold the time. `decimal`: the mark as a byte. */
  constructor(places: number, decimal: number) {
    this.numbers = new Float64Array(places)
    this.#decimal = decimal
  }

  /** Whether bytes [start, end) have this shape; `numbers` and `timeStarts` then tell what they hold. */
  fits(bytes: Uint8Array, start: number, end: number): boolean {
    const text = this.#text
    const from = this.#from
    const kinds = this.#kind
    const places = this.#place
    let at = start
    let known = 0
    for (let step = 0; ; step++) {
      const behind = from[step + 1] as number
      if (at + behind - known > end) return false
      for (; known < behind; known++) if (bytes[at++] !== text[known]) return false
      const place = places[step] as number
      switch (kinds[step]) {
        case follows.number:
          at = this.#fitNumber(bytes, at, end, place)
          break
        case follows.time:
          this.timeStarts[place] = at
          at += this.#timeLengths[place] as number
          break
        case follows.loose:
          at = this.#fitLoose(bytes, at, end)
          break
        default:
          if (at !== end) return false
          this.#hasServed = true
          return true
      }
      if (at < 0 || at > end) return false
    }
  }

  /** The line that comes next has no known shape. */
  forget(): void {
    this.isKnown = false
  }

  /** Whether a line that had no known shape shall be learnt: seldom where shapes do not serve, since learning takes longer than reading. */
  wantsLearning(): boolean {
    if (this.#hasServed) this.#wait = 0
    if (this.#waited++ < this.#wait) return false
    this.#waited = 0
    this.#wait = Math.min(longestWait, this.#hasServed ? 1 : 2 * this.#wait + 1)
    this.#hasServed = false
    return true
  }

  /**
   * Learns the line [start, end) that was read into `spans`. `isNumber[p]`: 1 where place p holds a number that may differ.
   * `loose`: what of the form's text nobody asks for. Stays unknown where the line has no such shape.
   */
  learn(spans: Spans, start: number, end: number, isNumber: Uint8Array, loose: LooseText): void {
    this.isKnown = false
    const { source: bytes } = spans
    const stretches = this.#stretches(spans, isNumber, loose)
    if (stretches.length >= mostSteps) return
    this.#isPadded = loose.isPadded
    this.#looseEnds = loose.ends
    this.#quote = loose.quote
    this.#leastLoose = loose.mayBeEmpty ? 0 : 1
    let at = start
    let step = 0
    let written = 0
    const put = (behind: number, what: Follows, place: number) => {
      this.#from[step] = written
      for (; at < behind; at++) this.#text[written++] = bytes[at] as number
      this.#kind[step] = what
      this.#place[step++] = place
    }
    for (const stretch of stretches) {
      // Two places that hold the same text, or parts of it, are read the long way.
      if (stretch.start < at) return
      put(stretch.start, stretch.kind, stretch.place)
      at = stretch.end
      if (stretch.kind === follows.number && at < end && goesOn(bytes[at], this.#decimal)) return
    }
    put(end, follows.end, -1)
    this.#from[step] = written
    this.places = stretches.filter((stretch) => stretch.kind === follows.number).map(({ place }) => place)
    this.isKnown =
      this.places.length > 0 &&
      this.fits(bytes, start, end) &&
      !loose.others.some((line) => this.fits(line, 0, line.length))
    this.#hasServed = false
  }

  #stretches(spans: Spans, isNumber: Uint8Array, loose: LooseText): Stretch[] {
    const { source, starts, ends } = spans
    const stretches = loose.stretches.map(([start, end]): Stretch => ({ start, end, kind: follows.loose, place: -1 }))
    for (let place = 0; place < starts.length; place++) {
      if ((starts[place] as number) < 0) continue
      const start = skipBlanks(source, starts[place] as number, ends[place] as number)
      const end = dropBlanks(source, start, ends[place] as number)
      const part = place - this.numbers.length
      if (part >= 0) {
        this.#timeLengths[part] = end - start
        stretches.push({ start, end, kind: follows.time, place: part })
      } else if (isNumber[place] === 1) {
        let behind = readNumberAt(source, start, end, this.#decimal, this.numbers, place)
        // Behind it a unit may stand; blanks around the number come and go.
        while (loose.isPadded && behind < (ends[place] as number) && source[behind] === blank) behind++
        stretches.push({ start: starts[place] as number, end: behind, kind: follows.number, place })
      }
    }
    return stretches.sort((one, other) => one.start - other.start || one.end - other.end)
  }

  /** The place behind the number at `at` and the blanks around it; −1 where none stands there. */
  #fitNumber(bytes: Uint8Array, at: number, end: number, place: number): number {
    if (!this.#isPadded) return readNumberAt(bytes, at, end, this.#decimal, this.numbers, place)
    let start = at
    while (start < end && bytes[start] === blank) start++
    let behind = readNumberAt(bytes, start, end, this.#decimal, this.numbers, place)
    while (behind >= 0 && behind < end && bytes[behind] === blank) behind++
    return behind
  }

  /** The place behind the loose text at `at`; −1 where it holds what may need a closer look. */
  #fitLoose(bytes: Uint8Array, start: number, end: number): number {
    let at = start
    for (; at < end && bytes[at] !== this.#looseEnds; at++) {
      const value = bytes[at] as number
      if (value < blank || value > 0x7e || value === this.#quote) return -1
    }
    return at - start < this.#leastLoose ? -1 : at
  }
}

/** Whether a number that ended before this byte may be longer in another line: digits, the mark, an exponent. */
const goesOn = (value: number | undefined, decimal: number): boolean =>
  isDigit(value) || value === decimal || value === byte.lowerE || value === byte.upperE
