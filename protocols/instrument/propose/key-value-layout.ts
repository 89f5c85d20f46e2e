import { mostColumns } from './json-layout.ts'
import type { LayoutResult, SampledColumn } from './proposal.ts'
import type { SampleLine } from './sample.ts'

const betweens = [';', ',', '|', '&', '\t', ' '] as const
const equals = ['=', ':'] as const
/** A name begins with a letter and holds no blanks but single ones. */
const name = /^\p{L}[\p{L}\p{N}_./()%-]*(?: [\p{L}\p{N}_./()%-]+){0,3}$/u

interface Cut {
  readonly named: ReadonlyMap<string, string>
  readonly bare: readonly string[]
}

/** A line in parts, as the reader of this form cuts it. */
function cut(text: string, between: string, sign: string): Cut {
  const named = new Map<string, string>()
  const bare: string[] = []
  for (const part of between === ' ' ? text.split(/[ \t]/) : text.split(between)) {
    const trimmed = part.trim()
    if (trimmed === '') continue
    const at = trimmed.indexOf(sign)
    const key = at > 0 ? trimmed.slice(0, at).trim() : ''
    if (name.test(key) && key.length <= 60) named.set(key, trimmed.slice(at + sign.length).trim())
    // The reader passes over names that nobody asks for; what begins with a digit is a part without a name.
    else if (at < 0 || /^\d/.test(trimmed)) bare.push(trimmed)
  }
  return { named, bare }
}

interface Trial {
  readonly between: string
  readonly sign: string
  readonly cuts: readonly Cut[]
  readonly named: number
  readonly bare: number
}

function trialsOf(lines: readonly SampleLine[]): Trial[] {
  return equals.flatMap((sign) => {
    const holds = lines.filter(({ text }) => text.includes(sign))
    if (holds.length * 2 < lines.length) return []
    return betweens.flatMap((between) => {
      if (holds.filter(({ text }) => text.includes(between)).length * 2 < holds.length) return []
      const cuts = lines.map(({ text }) => cut(text, between, sign))
      const named = cuts.reduce((sum, each) => sum + each.named.size, 0)
      const bare = cuts.reduce((sum, each) => sum + each.bare.length, 0)
      return [{ between, sign, cuts, named, bare }]
    })
  })
}

/** Names with values: `O2=8.1;CO=112`. */
export function keyValueLayout(lines: readonly SampleLine[]): LayoutResult {
  const trials = trialsOf(lines).sort((one, other) => other.named - other.bare - (one.named - one.bare))
  const best = trials[0]
  if (!best) return { form: 'key-value', why: 'neither “=” nor “:” stands in half of the lines' }
  const withNames = best.cuts.filter(({ named }) => named.size > 0)
  if (withNames.length * 2 < lines.length || best.named < best.bare)
    return { form: 'key-value', why: `${withNames.length} of ${lines.length} lines hold names with “${best.sign}”` }
  const counts = new Map<string, number>()
  for (const { named } of withNames) for (const key of named.keys()) counts.set(key, (counts.get(key) ?? 0) + 1)
  const keys = [...counts].filter(([, count]) => count * 20 >= withNames.length).map(([key]) => key)
  if (keys.length === 0 || keys.length > mostColumns)
    return { form: 'key-value', why: `${counts.size} different names, none of them in one line of twenty` }
  const most = Math.max(...withNames.map(({ bare }) => bare.length))
  const positions = Array.from({ length: Math.min(most, 20) }, (_, place) => place).filter(
    (place) => withNames.filter(({ bare }) => bare.length > place).length * 2 > withNames.length,
  )
  const columns: SampledColumn[] = [
    ...positions.map((at) => ({ at, label: '', unitLabel: '', texts: withNames.map(({ bare }) => bare[at] ?? null) })),
    ...keys.map((at) => ({ at, label: at, unitLabel: '', texts: withNames.map(({ named }) => named.get(at) ?? null) })),
  ]
  const shown = best.between === '\t' ? '\\t' : best.between
  return {
    form: 'key-value',
    settings: { between: shown, equals: best.sign },
    columns,
    likeness: 0.95,
    guesses: [
      {
        what: 'form',
        value: `key-value, “${shown}” between the parts, “${best.sign}” before the value`,
        confidence: withNames.length / lines.length,
        reason: `${withNames.length} of ${lines.length} lines hold names with values, ${(best.named / Math.max(1, withNames.length)).toFixed(1)} each`,
      },
    ],
  }
}
