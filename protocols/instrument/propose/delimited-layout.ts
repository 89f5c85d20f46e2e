import { dropBlanks, skipBlanks } from '../bytes.ts'
import { Columns } from '../columns.ts'
import { decodeText, type Encoding, encodeText } from '../text-encoding.ts'
import { isHeadingRow, isUnitsRow, type Rows } from './heading-rows.ts'
import { mostColumns } from './json-layout.ts'
import type { Guess, LayoutResult, SampledColumn } from './proposal.ts'
import type { Sample, SampleLine } from './sample.ts'

export const delimiters = [';', '\t', ',', '|', ' '] as const

/** The texts of a line’s columns, as the reader of this form cuts them; null where a quote does not end. */
function cutter(delimiter: string, quote: string, encoding: Encoding) {
  const columns = new Columns(
    encodeText(delimiter, encoding) ?? new Uint8Array(),
    quote === '' ? -1 : quote.charCodeAt(0),
  )
  return ({ bytes }: SampleLine): string[] | null => {
    if (columns.cut(bytes, 0, bytes.length)) return null
    return Array.from({ length: Math.min(columns.count, mostColumns + 1) }, (_, column) => {
      const end = columns.ends[column] as number
      const start = skipBlanks(columns.source, columns.starts[column] as number, end)
      return decodeText(columns.source, start, dropBlanks(columns.source, start, end), encoding)
    })
  }
}

/** Columns without the empty ones at the end. */
const filled = (row: readonly string[]): number => row.findLastIndex((text) => text !== '') + 1

/** The most frequent number, with how often it came. */
function mode(numbers: readonly number[]): readonly [number, number] {
  const counts = new Map<number, number>()
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1)
  return [...counts].sort(([a, one], [b, other]) => other - one || b - a)[0] ?? [0, 0]
}

/** Columns between `delimiter`. `byPosition`: the lines come from a link that may be opened anywhere, so no header can be counted on. */
export function delimitedLayout(
  lines: readonly SampleLine[],
  { encoding, rows }: Pick<Sample, 'encoding' | 'rows'>,
  delimiter: string,
  byPosition: boolean,
): LayoutResult {
  const shown = delimiter === '\t' ? '\\t' : delimiter
  const no = (why: string): LayoutResult => ({ form: 'delimited', why: `“${shown}” between columns: ${why}` })
  if (lines.filter(({ text }) => text.includes(delimiter)).length * 2 < lines.length)
    return no('it stands in less than half of the lines')
  const quoted = lines.map(cutter(delimiter, '"', encoding))
  const isQuoted = quoted.filter((row) => row === null).length * 10 < lines.length
  const cut = isQuoted ? quoted : lines.map(cutter(delimiter, '', encoding))
  const [count, times] = mode(cut.flatMap((row) => (row ? [row.length] : [])))
  if (count < 2) return no('most lines have one column')
  if (count > mostColumns) return no(`more than ${mostColumns} columns`)
  if (times * 2 < lines.length) return no(`${times} of ${lines.length} lines have the same number of columns, ${count}`)

  const found = headingOf(cut, count)
  const data = cut.filter(
    (row, place): row is string[] => row !== null && row.length === count && place >= found.dataFrom,
  )
  if (data.length === 0) return no('no line of numbers')
  const headings = found.headings
  const isNamed =
    headings !== null &&
    headings.filter((text) => text !== '').length >= 2 &&
    new Set(headings.filter((text) => text !== '')).size === headings.filter((text) => text !== '').length
  const usesHeader = isNamed && !byPosition
  const width = Math.max(...data.map(filled), headings ? filled(headings) : 0)
  const columns = Array.from({ length: width }, (_, column): SampledColumn => {
    const heading = headings?.[column] ?? ''
    return {
      at: usesHeader && heading !== '' ? heading : column,
      label: heading,
      unitLabel: found.units?.[column] ?? '',
      texts: data.map((row) => row[column] ?? null),
    }
  })
  const sameWidth = cut.filter((row) => row !== null && row.length === count).length === lines.length - found.titles
  return {
    form: 'delimited',
    settings: {
      delimiter: shown,
      ...(isQuoted ? {} : { quote: '' }),
      ...(sameWidth ? { columns: 'exactly' } : {}),
      ...(usesHeader ? { header: true, unitsRow: found.units !== null, skipLines: rows[found.titles] ?? 0 } : {}),
    },
    columns,
    likeness: delimiter === ' ' ? 0.6 : 0.9,
    guesses: [
      {
        what: 'form',
        value: `delimited by ${delimiter === ' ' ? 'blanks' : `“${shown}”`}, ${count} columns`,
        confidence: times / lines.length,
        reason: `${times} of ${lines.length} lines have ${count} columns`,
      },
      ...headingGuesses(found, usesHeader),
    ],
  }
}

interface Heading {
  readonly headings: readonly string[] | null
  readonly units: readonly string[] | null
  /** Rows before the heading, and the first row of data. */
  readonly titles: number
  readonly dataFrom: number
}

function headingOf(cut: Rows, count: number): Heading {
  const first = cut.slice(0, 40).findIndex((row) => row !== null && row.length === count)
  const row = cut[first]
  if (!row || !isHeadingRow(row, cut, count))
    return { headings: null, units: null, titles: Math.max(0, first), dataFrom: Math.max(0, first) }
  const next = cut[first + 1]
  const hasUnits = next !== undefined && next !== null && next.length === count && isUnitsRow(next)
  return { headings: row, units: hasUnits ? next : null, titles: first, dataFrom: first + (hasUnits ? 2 : 1) }
}

function headingGuesses({ headings, units, titles }: Heading, isUsed: boolean): Guess[] {
  if (headings === null) return []
  const shown = headings
    .filter((text) => text !== '')
    .slice(0, 4)
    .join(', ')
  return [
    {
      what: 'header',
      value: isUsed ? 'columns are found by their headings' : 'headings seen; columns are found by position',
      confidence: 0.9,
      reason: `the row “${shown}…” holds no number and the rows behind it do${titles > 0 ? `; ${titles} rows stand before it` : ''}`,
    },
    ...(units
      ? [{ what: 'units row', value: 'yes', confidence: 0.9, reason: 'the row behind the headings holds units' }]
      : []),
  ]
}
