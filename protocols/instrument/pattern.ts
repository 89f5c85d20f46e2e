import { RE2JS } from 're2js'
import type { z } from 'zod'
import { type FormReader, type LineForm, type Place, type Refusal, refusal, type Spans } from './form.ts'
import type { patternProfile } from './profile.ts'
import { RewrittenLine } from './rewritten-line.ts'
import { decodeText } from './text-encoding.ts'

type PatternProfile = z.infer<typeof patternProfile>

/** A regular expression with named groups, held against the whole line by an engine whose time grows with the line’s length, never faster. */
class PatternReader implements FormReader {
  readonly #encoding: PatternProfile['encoding']
  readonly #matcher
  /** Group of each place. */
  readonly #groups: readonly number[]
  readonly #line = new RewrittenLine()

  constructor(profile: PatternProfile, places: readonly Place[]) {
    this.#encoding = profile.encoding
    const pattern = RE2JS.compile(profile.pattern)
    const groups = pattern.namedGroups()
    this.#groups = places.map((at) => groups[String(at)] ?? 0)
    this.#matcher = pattern.matcher(new Uint8Array(0))
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    const line = this.#encoding === 'utf-8' ? bytes.subarray(start, end) : this.#inUtf8(bytes, start, end)
    const matcher = this.#matcher.resetMatcherInput(line)
    if (!matcher.matches()) return refusal('wrong_form', 'the pattern does not fit the line')
    spans.source = line
    for (let place = 0; place < this.#groups.length; place++) {
      const group = this.#groups[place] as number
      spans.starts[place] = matcher.start(group)
      spans.ends[place] = matcher.end(group)
    }
    return null
  }

  reset(): void {}

  #inUtf8(bytes: Uint8Array, start: number, end: number): Uint8Array {
    this.#line.clear()
    this.#line.write(decodeText(bytes, start, end, this.#encoding))
    return this.#line.bytes.subarray(0, this.#line.length)
  }
}

/** The engine’s time is at most steps × bytes of the line. So many keep the worst line of 4096 bytes near 50 ms. Our choice, measured. */
const mostSteps = 1000

/** The named groups of a pattern; a string says why it can’t be used. */
function groupsOf(pattern: string): readonly string[] | string {
  try {
    const compiled = RE2JS.compile(pattern)
    const steps = compiled.matcher('').programSize()
    return steps > mostSteps
      ? `the pattern takes ${steps} steps, ${mostSteps} at most; shorten its repetitions`
      : Object.keys(compiled.namedGroups())
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return `${why} (a linear-time engine has neither look-around nor back references)`
  }
}

export const pattern: LineForm<PatternProfile> = {
  form: 'pattern',
  places: { kinds: ['name'], text: 'the name of a group of the pattern' },
  spansIn: 'utf-8',
  check(profile, places) {
    const groups = groupsOf(profile.pattern)
    if (typeof groups === 'string') return [{ path: 'pattern', message: groups }]
    return places.flatMap(({ path, at }) =>
      groups.includes(String(at))
        ? []
        : [{ path, message: `the pattern has no group “${at}”; it has ${groups.join(', ') || 'none'}` }],
    )
  },
  compile: (profile, places) => new PatternReader(profile, places),
}
