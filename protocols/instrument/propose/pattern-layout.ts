import { isNumeric } from './numbers.ts'
import type { LayoutResult, SampledColumn } from './proposal.ts'
import type { SampleLine } from './sample.ts'
import { unitOf } from './unit-words.ts'

/** Times inside a line, the fullest first. */
const times: readonly RegExp[] = [
  /\d{4}[-/.]\d{2}[-/.]\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(?:Z|[+-]\d{2}:?\d{2})?/,
  /\d{1,2}[./-]\d{1,2}[./-]\d{2,4}[ T]\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(?: ?[AaPp][Mm])?/,
  /\d{1,2}:\d{2}:\d{2}(?:[.,]\d{1,9})?/,
]
const timeGroup = '(?P<time>[0-9TZ:.,/+ \\-]+?(?: ?[AaPp][Mm])?)'
const token = /[-+]?\d+(?:[.,]\d+)?|[\p{L}_°%µ>*<-][\p{L}\p{N}_.°%µ³/>*<+-]*|\s+|./gu
const mostTokens = 200
const mostSlots = 60

interface Token {
  readonly text: string
  readonly isTime: boolean
}

function tokensOf(text: string, time: RegExp | undefined): Token[] | null {
  const found = time ? time.exec(text) : null
  if (time && !found) return null
  const cut = (part: string): Token[] => (part.match(token) ?? []).map((each) => ({ text: each, isTime: false }))
  const all = found
    ? [
        ...cut(text.slice(0, found.index)),
        { text: found[0], isTime: true },
        ...cut(text.slice(found.index + found[0].length)),
      ]
    : cut(text)
  return all.length > mostTokens ? null : all
}

/** `Mar`, `March`, `Mar/2024`: a month in words stays the same for a whole sample, and turns in the midst of a night. */
const monthWord =
  /^(?:jan(?:uary?)?|feb(?:ruary?)?|mar(?:ch)?|mär(?:z)?|apr(?:il)?|ma[iy]|jun[ei]?|jul[iy]?|aug(?:ust)?|sept?(?:ember)?|o[ck]t(?:ober)?|nov(?:ember)?|de[cz](?:ember)?)(?!\p{L})/iu

const isBlank = (text: string): boolean => text.trim() === ''
const escaped = (text: string): string => (isBlank(text) ? '\\s+' : text.replace(/[.*+?^${}()|[\]\\/-]/g, '\\$&'))

/** What stands at one place of the lines: the same text in all, or a slot. */
type Part =
  | { readonly literal: string }
  | { readonly slot: string; readonly label: string; readonly unitLabel: string; readonly place: number }

const textOf = (part: Part): string =>
  'literal' in part ? escaped(part.literal) : part.slot === 'time' ? timeGroup : `(?P<${part.slot}>\\S+?)`

/** The words before a slot, back to the slot before. */
function wordsBefore(parts: readonly Part[]): string {
  const words: string[] = []
  let isBracketOpen = true
  for (const part of parts.toReversed()) {
    if (!('literal' in part)) break
    if (part.literal === ')') isBracketOpen = false
    if (/^\p{L}/u.test(part.literal)) words.unshift(part.literal)
    // Behind a comma, a semicolon or a bracket the next value begins; what stands before is the unit of the last.
    else if (/^[,;|]$/.test(part.literal) || (part.literal === '(' && isBracketOpen)) break
  }
  // A unit of the slot before is no name of this one.
  return words.slice(-3).join(' ')
}

/** Lines in words with numbers between them. */
export function patternLayout(lines: readonly SampleLine[]): LayoutResult {
  const no = (why: string): LayoutResult => ({ form: 'pattern', why })
  const time = times.find((each) => lines.filter(({ text }) => each.test(text)).length * 5 >= lines.length * 4)
  const rows = lines.flatMap(({ text }) => {
    const tokens = tokensOf(text, time)
    return tokens ? [tokens] : []
  })
  if (rows.length === 0) return no('the lines hold nothing, or too much')
  const counts = new Map<number, number>()
  for (const row of rows) counts.set(row.length, (counts.get(row.length) ?? 0) + 1)
  const frequent = [...counts].filter(([, count]) => count * 5 >= rows.length).sort(([one], [other]) => other - one)
  const full = frequent[0]?.[0]
  if (full === undefined) return no('no two lines in five are built alike')
  // Lines that end earlier: the rest is then optional.
  const shorter = frequent[1]?.[0]
  const alike = rows.filter((row) => row.length === full || row.length === shorter)

  const parts: Part[] = []
  const used = new Set<string>()
  for (let place = 0; place < full; place++) {
    const texts = alike.flatMap((row) => (row[place] ? [row[place] as Token] : []))
    const [first] = texts
    if (!first) return no('the lines are not built alike')
    const isSlot =
      first.isTime ||
      isNumeric(first.text) ||
      monthWord.test(first.text) ||
      texts.some(({ text }) => text !== first.text && !(isBlank(text) && isBlank(first.text)))
    if (!isSlot) {
      parts.push({ literal: first.text })
      continue
    }
    if (texts.some(({ text }) => isBlank(text))) return no('the lines are not built alike')
    const label = wordsBefore(parts)
    const slug = label
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '_')
      .replace(/^[^a-z]+|_$/g, '')
    let slot = first.isTime ? 'time' : slug || `value_${place}`
    while (used.has(slot)) slot = `${slot}_${place}`
    used.add(slot)
    parts.push({ slot, label, unitLabel: '', place })
  }
  const slots = parts.filter((part) => !('literal' in part)).length
  if (slots === 0 || slots > mostSlots) return no(`${slots} places differ from line to line`)
  if (!parts.some((part) => 'literal' in part && /\p{L}{2}/u.test(part.literal)))
    return no('no word stands in all lines')
  const cutAt = shorter !== undefined && shorter < full ? shorter : full
  const tail = parts.slice(cutAt).map(textOf).join('')
  const pattern = `^${parts.slice(0, cutAt).map(textOf).join('')}${tail ? `(?:${tail})?` : ''}$`
  const columns = parts.flatMap((part, at): SampledColumn[] => {
    if ('literal' in part) return []
    const next = parts.slice(at + 1).find((each) => 'literal' in each && !isBlank(each.literal))
    const unit = next && 'literal' in next && unitOf(next.literal) !== null ? next.literal : ''
    return [
      { at: part.slot, label: part.label, unitLabel: unit, texts: alike.map((row) => row[part.place]?.text ?? null) },
    ]
  })
  return {
    form: 'pattern',
    settings: { pattern },
    columns,
    likeness: 0.5,
    guesses: [
      {
        what: 'form',
        value: 'a pattern: words with values between them',
        confidence: alike.length / lines.length,
        reason: `${alike.length} of ${lines.length} lines are built alike, with ${slots} places that differ`,
      },
    ],
  }
}
