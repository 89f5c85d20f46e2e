import type { z } from 'zod'
import { type FormReader, type LineForm, type Place, type Refusal, refusal, type Spans } from './form.ts'
import type { jsonLinesProfile } from './profile.ts'
import { RewrittenLine } from './rewritten-line.ts'
import { decodeText } from './text-encoding.ts'

type JsonLinesProfile = z.infer<typeof jsonLinesProfile>

/** Stands for a list or an object where a value should be: neither a number nor a token. */
const noValue = '{…}'
const missing = undefined

/** One step down: only what the line itself holds, nothing that every object or list has. */
function childOf(parent: unknown, key: string): unknown {
  if (typeof parent !== 'object' || parent === null) return missing
  if (Array.isArray(parent)) return /^\d{1,4}$/.test(key) ? parent[Number(key)] : missing
  return Object.hasOwn(parent, key) ? (parent as Record<string, unknown>)[key] : missing
}

/** One JSON value per line: `{"gas":{"o2":20.9},"co":112}`. Places are paths of keys; a position counts in a list. */
class JsonLinesReader implements FormReader {
  readonly #encoding: JsonLinesProfile['encoding']
  readonly #decimal: string
  readonly #paths: readonly (readonly string[])[]
  readonly #names: readonly string[]
  readonly #line = new RewrittenLine()

  constructor(profile: JsonLinesProfile, places: readonly Place[]) {
    this.#encoding = profile.encoding
    this.#decimal = profile.decimal
    this.#names = places.map(String)
    this.#paths = this.#names.map((name) => name.split('.'))
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    const line = parse(decodeText(bytes, start, end, this.#encoding))
    if (typeof line !== 'object' || line === null) return refusal('wrong_form', 'no JSON object')
    this.#line.clear()
    for (let place = 0; place < this.#paths.length; place++) {
      const value = this.#valueAt(line, place)
      spans.starts[place] = value === missing ? -1 : this.#line.length
      if (value !== missing) this.#line.write(this.#textOf(value))
      spans.ends[place] = this.#line.length
    }
    spans.source = this.#line.bytes
    return null
  }

  reset(): void {}

  /** A key that holds a dot itself goes before the path. */
  #valueAt(line: object, place: number): unknown {
    const whole = childOf(line, this.#names[place] as string)
    return whole === missing ? (this.#paths[place] as readonly string[]).reduce<unknown>(childOf, line) : whole
  }

  /** null is an empty field. JSON writes numbers with a point, whatever the profile’s decimal mark. */
  #textOf(value: unknown): string {
    if (value === null) return ''
    if (typeof value === 'number') return String(value).replace('.', this.#decimal)
    return typeof value === 'object' ? noValue : String(value)
  }
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    // Not JSON: the caller refuses the line.
    return null
  }
}

export const jsonLines: LineForm<JsonLinesProfile> = {
  form: 'json-lines',
  places: { kinds: ['name'], text: 'a path of keys with dots, as "gas.o2"' },
  spansIn: 'utf-8',
  check: (_, places) =>
    places.flatMap(({ path, at }) =>
      String(at).split('.').includes('') ? [{ path, message: `“${at}” has an empty key in its path` }] : [],
    ),
  compile: (profile, places) => new JsonLinesReader(profile, places),
}
