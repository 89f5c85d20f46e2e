import { type Decimal, numberOf } from './numbers.ts'
import type { Guess } from './proposal.ts'

/** What a text in place of a number seems to mean. Words in use in logs (common practice, no source). */
const meanings: readonly {
  readonly list: 'missing' | 'over' | 'under'
  readonly looks: RegExp
  readonly confidence: number
}[] = [
  { list: 'missing', looks: /^[-–—_.]+$/, confidence: 0.9 },
  {
    list: 'missing',
    looks: /^(?:n\.?\/?a\.?|nan|null|none|nil|off|error|err|invalid|inv|bad|no data|fail)$/i,
    confidence: 0.8,
  },
  // Too wide for its column, or no value: in both cases there is no number.
  { list: 'missing', looks: /^[*#?x]+$/i, confidence: 0.6 },
  {
    list: 'over',
    looks: /^(?:>+|> ?[\d.,]+|\++|over|ovr|ovf|ovl|ol|o\.l\.?|high|hi|over ?range|over ?flow|max)$/i,
    confidence: 0.8,
  },
  { list: 'under', looks: /^(?:<+|< ?[\d.,]+|under|und|udf|low|lo|under ?range|under ?flow|min)$/i, confidence: 0.8 },
]

export interface ValueTokens {
  readonly missing: readonly string[]
  readonly over: readonly string[]
  readonly under: readonly string[]
  readonly guesses: readonly Guess[]
  /** Texts of value columns that no rule knows, with how often they came. */
  readonly unknown: readonly { readonly text: string; readonly column: string; readonly count: number }[]
}

/** A column of values: its name for sentences, and its texts without unit. */
export interface ValueTexts {
  readonly name: string
  readonly texts: readonly (string | null)[]
}

/** Tokens that the profile knows if it says nothing. */
const known = ['', '-', '--', '---', '----']
const mostUnknown = 20

/** Numbers that stand for “no value”: −200, −999 far below all others, which are not negative; 9999 far above them. Told by value. */
function sentinels(
  columns: readonly ValueTexts[],
  decimal: Decimal,
): { readonly value: number; readonly count: number }[] {
  const counts = new Map<number, number>()
  for (const { texts } of columns) {
    const own = new Map<number, number>()
    let least = Number.POSITIVE_INFINITY
    let most = Number.NEGATIVE_INFINITY
    for (const text of texts) {
      const value = text === null ? Number.NaN : numberOf(text, decimal)
      if (Number.isNaN(value)) continue
      if (/^(?:-[1-9]\d*|9{4,})$/.test(String(value)) && (value <= -99 || value > 0))
        own.set(value, (own.get(value) ?? 0) + 1)
      else {
        least = Math.min(least, value)
        most = Math.max(most, value)
      }
    }
    if (least === Number.POSITIVE_INFINITY) continue
    for (const [value, count] of own)
      if (count >= 2 && (value < 0 ? least > value / 4 : most < value / 2))
        counts.set(value, (counts.get(value) ?? 0) + count)
  }
  return [...counts].map(([value, count]) => ({ value, count })).sort((one, other) => other.count - one.count)
}

/** The tokens of all value columns. */
export function guessTokens(columns: readonly ValueTexts[], decimal: Decimal): ValueTokens {
  const lists = { missing: new Set(known), over: new Set<string>(), under: new Set<string>() }
  const guesses: Guess[] = []
  const unknown = new Map<string, { text: string; column: string; count: number }>()
  for (const { name, texts } of columns)
    for (const text of texts) {
      const token = text?.trim() ?? ''
      if (token === '' || !Number.isNaN(numberOf(token, decimal))) continue
      const found = meanings.find(({ looks }) => looks.test(token))
      if (!found) {
        const key = `${name}\n${token}`
        const entry = unknown.get(key)
        if (entry) entry.count++
        else if (unknown.size < mostUnknown && token.length <= 40)
          unknown.set(key, { text: token, column: name, count: 1 })
      } else if (![...lists.missing, ...lists.over, ...lists.under].includes(token) && token.length <= 20) {
        lists[found.list].add(token)
        guesses.push({
          what: `token ${token}`,
          value: found.list,
          confidence: found.confidence,
          reason: `stands in place of a number in ${name}`,
        })
      }
    }
  for (const { value, count } of sentinels(columns, decimal)) {
    const list = value < 0 ? 'missing' : 'over'
    lists[list].add(String(value))
    guesses.push({
      what: `token ${value}`,
      value: list,
      confidence: value < 0 ? 0.7 : 0.5,
      reason: `came ${count} times, far from all other values; take it out if it can be a true reading`,
    })
  }
  return {
    missing: [...lists.missing],
    over: [...lists.over],
    under: [...lists.under],
    guesses,
    unknown: [...unknown.values()],
  }
}
