import type { LineProfile, ProfileField } from '../profile.ts'
import { labelMeaning } from './label-meaning.ts'
import { type Decimal, numberAndRest, numberOf } from './numbers.ts'
import { guessOrigin, type NumberColumn } from './origins.ts'
import { type Meaning, type ProposedColumn, placeText, type SampledColumn } from './proposal.ts'
import { separatorOf, statusMeaning, type TokenMeaning } from './status-words.ts'
import { splitLabel } from './unit-words.ts'
import { guessTokens, type ValueTokens } from './value-tokens.ts'

type StatusRule = LineProfile['status'][number]

export interface DescribedColumns {
  readonly columns: readonly ProposedColumn[]
  readonly fields: readonly Partial<ProfileField>[]
  readonly status: readonly StatusRule[]
  readonly tokens: ValueTokens
  readonly unnamed: readonly string[]
}

const mostStatusTexts = 40
const isStatusName = /^(?:status|state|mode|phase|zustand|st|faults?|alarms?|errors?)$/i
/** Words of a column that is called a status, none of them known: more are rather a free text. */
const mostUnknownWords = 12

/** `1,213.3`, `1.213,3`, `1 213`: a mark between thousands; of one mark alone it would be a guess which it is. */
const grouped =
  /^[-+]?\d{1,3}(?:,\d{3})+\.\d+$|^[-+]?\d{1,3}(?:\.\d{3})+,\d+$|^[-+]?\d{1,3}(?:[ '’]\d{3})+(?:[.,]\d+)?$/

const filledTexts = ({ texts }: SampledColumn): string[] =>
  texts.flatMap((text) => (text === null || text.trim() === '' ? [] : [text.trim()]))

/** The text behind the numbers of most of its lines, as `ppm` in `112ppm`; empty where there is none. */
function suffixOf(texts: readonly string[], decimal: Decimal): string {
  const counts = new Map<string, number>()
  let numbers = 0
  for (const text of texts) {
    if (!Number.isNaN(numberOf(text, decimal))) numbers++
    const rest = numberAndRest(text)?.rest
    if (rest !== undefined) counts.set(rest, (counts.get(rest) ?? 0) + 1)
  }
  const [most] = [...counts].sort(([, one], [, other]) => other - one)
  return most && most[1] > numbers && most[1] * 2 > texts.length ? most[0] : ''
}

const slug = (text: string): string =>
  text
    .toLowerCase()
    .replaceAll('°', '')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40)

/** A field’s name: what it is, else what the lines call it, else its place; each only once. */
function nameFor(
  column: SampledColumn,
  meaning: Meaning | null,
  place: number,
  taken: Set<string>,
  otherwise = `column-${typeof column.at === 'number' ? column.at + 1 : place + 1}`,
): string {
  const base = meaning?.species?.toLowerCase() ?? (slug(splitLabel(column.label).head) || otherwise)
  let name = base
  for (let number = 2; taken.has(name); number++) name = `${base}-${number}`
  taken.add(name)
  return name
}

/** Fewer rows may rise by one by chance. */
const fewestOfCounter = 6

/** Whole numbers that rise by one from line to line: a row counter, whatever its heading. */
function isCounter(values: Float64Array): boolean {
  const numbers = Array.from(values).filter((value) => !Number.isNaN(value))
  return (
    numbers.length >= fewestOfCounter &&
    numbers.every((value, at) => (at === 0 ? Number.isInteger(value) : value === (numbers[at - 1] as number) + 1))
  )
}

interface Judged {
  readonly column: SampledColumn
  readonly texts: readonly string[]
  readonly suffix: string
  readonly values: Float64Array
  readonly isValue: boolean
}

function judge(column: SampledColumn, decimal: Decimal): Judged {
  const texts = filledTexts(column)
  const suffix = suffixOf(texts, decimal)
  const bare = (text: string | null): string => {
    const trimmed = text?.trim() ?? ''
    return suffix !== '' && trimmed.endsWith(suffix) ? trimmed.slice(0, -suffix.length).trim() : trimmed
  }
  const values = Float64Array.from(column.texts, (text) => numberOf(bare(text), decimal))
  const numbers = values.filter((value) => !Number.isNaN(value)).length
  return { column, texts, suffix, values, isValue: numbers > 0 && numbers * 3 >= texts.length }
}

/** What each column is, as far as names, units and texts tell. `taken`: the columns of the time. */
export function describeColumns(
  sampled: readonly SampledColumn[],
  taken: readonly SampledColumn[],
  decimal: Decimal,
): DescribedColumns {
  const judged = sampled.map((column) => judge(column, decimal))
  const named = judged.map(({ column, suffix, values, isValue }) => {
    const meaning = labelMeaning(column.label, suffix !== '' ? suffix : column.unitLabel)
    return isValue && isCounter(values)
      ? {
          ...meaning,
          meaning: null,
          unit: null,
          confidence: 0,
          strangeUnit: null,
          reason: 'whole numbers that count the lines, or seconds since the start',
        }
      : meaning
  })
  const numbers = judged.map(
    ({ values }, place): NumberColumn => ({
      species: named[place]?.meaning?.species ?? null,
      unit: named[place]?.unit ?? null,
      values,
      isComputed: named[place]?.isComputed ?? false,
    }),
  )
  const names = new Set<string>()
  const columns: ProposedColumn[] = []
  const fields: Partial<ProfileField>[] = []
  const status: StatusRule[] = []
  const unnamed: string[] = []
  const valueTexts: { name: string; texts: (string | null)[] }[] = []
  for (const [place, { column, texts, suffix, isValue, values }] of judged.entries()) {
    const { at, label } = column
    const samples = [...new Set(texts.slice(0, 200))].slice(0, 3)
    const shown = label === '' ? placeText(at) : `“${label}”`
    const plain = {
      at,
      label,
      samples,
      meaning: null,
      unit: null,
      basis: null,
      origin: 'measured',
      field: null,
      unknown: [],
    } as const
    if (taken.includes(column)) {
      columns.push({ ...plain, role: 'time', confidence: 0.95, reason: 'tells the time' })
      continue
    }
    if (texts.length === 0) {
      columns.push({ ...plain, role: 'left-out', confidence: 0.9, reason: 'always empty' })
      if (label !== '') unnamed.push(`${shown} is empty in all lines: left out`)
      continue
    }
    if (!isValue) {
      const rule = statusRule(column, texts)
      if (rule === null) {
        columns.push({ ...plain, role: 'left-out', confidence: 0.6, reason: 'text that is no known status' })
        const what = texts.some((text) => grouped.test(text))
          ? 'numbers with marks between thousands, which no profile reads'
          : 'text'
        unnamed.push(`${shown} holds ${what} (${samples.join(', ').slice(0, 60)}): left out`)
        continue
      }
      const field = nameFor(column, null, place, names, rule.name)
      fields.push({ name: field, at })
      status.push({ field, ...(rule.separator ? { separator: rule.separator } : {}), tokens: rule.tokens })
      columns.push({
        ...plain,
        field,
        unknown: rule.unknown,
        role: 'status',
        confidence: rule.confidence,
        reason: rule.reason,
      })
      if (rule.unknown.length > 0)
        unnamed.push(
          `the status ${rule.unknown.map((token) => `“${token}”`).join(', ')} in ${shown} is not known: say which phase or fault it tells`,
        )
      continue
    }
    const told = named[place] ?? labelMeaning('', '')
    const field = nameFor(column, told.meaning, place, names)
    const origin = guessOrigin(numbers[place] as NumberColumn, numbers)
    fields.push({
      name: field,
      at,
      ...(told.unit ? { unit: told.unit } : {}),
      ...(suffix !== '' ? { unitSuffix: suffix } : {}),
      ...(origin.origin === 'computed' ? { origin: 'computed' as const } : {}),
    })
    valueTexts.push({
      name: shown,
      texts: column.texts.map((text) =>
        suffix !== '' && text?.trim().endsWith(suffix) ? text.trim().slice(0, -suffix.length) : text,
      ),
    })
    columns.push({
      ...plain,
      field,
      role: 'value',
      meaning: told.meaning,
      unit: told.unit,
      basis: told.basis,
      origin: origin.origin,
      confidence: told.meaning === null ? 0 : Math.min(told.confidence, origin.confidence + 0.2),
      reason: [told.reason, origin.reason].filter(Boolean).join('; '),
    })
    if (told.meaning === null) unnamed.push(`${shown} (${range(values)}) is not named: ${told.reason}`)
    if (told.meaning !== null && told.strangeUnit !== null)
      unnamed.push(`the unit “${told.strangeUnit}” of ${shown} is none of ours, or does not fit: say which it is`)
    else if (told.meaning !== null && told.unit === null)
      unnamed.push(`the unit of ${shown} stands nowhere (${range(values)}): say which it is`)
  }
  const tokens = guessTokens(valueTexts, decimal)
  for (const { text, column, count } of tokens.unknown)
    unnamed.push(`“${text}” in ${column} (${count} times) is neither a number nor a known token: read as unreadable`)
  return { columns, fields, status, tokens, unnamed }
}

function range(values: Float64Array): string {
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (const value of values) {
    if (value < least) least = value
    if (value > most) most = value
  }
  return least === most ? `always ${least}` : `${least} to ${most}`
}

interface FoundRule {
  /** For a column that the lines do not name. */
  readonly name: string
  readonly tokens: Record<string, TokenMeaning>
  readonly separator?: string | undefined
  readonly unknown: readonly string[]
  readonly confidence: number
  readonly reason: string
}

/** The status words of a text column; null where its texts are too many, or none is known and its name is no status. */
function statusRule(column: SampledColumn, filled: readonly string[]): FoundRule | null {
  const texts = [...new Set(filled)]
  if (texts.length > mostStatusTexts || texts.some((text) => text.length > 60)) return null
  const separator = separatorOf(texts)
  const words = [
    ...new Set(separator ? texts.flatMap((text) => text.split(separator).map((part) => part.trim())) : texts),
  ].filter((word) => word !== '')
  const known = words.flatMap((word) => {
    const found = statusMeaning(word)
    return found ? [{ word, ...found }] : []
  })
  const isStatus = isStatusName.test(column.label.split('.').at(-1) ?? '')
  if (
    known.length === 0
      ? !isStatus || words.length < 2 || words.length > mostUnknownWords
      : known.length * 2 < words.length && !isStatus
  )
    return null
  return {
    name: known.some(({ tells }) => tells.phase !== undefined) ? 'state' : 'faults',
    tokens: Object.fromEntries(known.map(({ word, tells }) => [word, tells])),
    separator,
    unknown: words.filter((word) => !known.some((each) => each.word === word) && !/^-+$/.test(word)),
    confidence: known.length === 0 ? 0 : Math.min(...known.map(({ confidence }) => confidence)),
    reason:
      known.length === 0
        ? 'its name says status; none of its words is known'
        : `status words: ${known.map(({ word, tells }) => `${word} → ${tells.phase ?? tells.fault ?? 'no fault'}`).join(', ')}`,
  }
}
