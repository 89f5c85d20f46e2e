import { stringify } from 'csv-stringify/sync'
import { type DecimalMark, numberText } from './number-text.ts'
import type { Cell, ColumnKind, Table } from './table.ts'

/** A text that a spreadsheet would take for a formula. */
const formulaLike = /^[=+\-@\t\r]/

/** Texts that begin as a formula does get an apostrophe before them; numbers are never touched. Source: OWASP, CSV injection. */
export const guardedText = (text: string): string => (formulaLike.test(text) ? `'${text}` : text)

/** Rows that are put into text together. */
const batchRows = 500

/** One table as CSV: a heading, UTF-8, LF, quotes as in RFC 4180; `;` between the cells where `,` is the decimal mark. */
export function* csvText(table: Table, decimal: DecimalMark, timeText: (ms: number) => string): Generator<string> {
  const delimiter = decimal === ',' ? ';' : ','
  yield stringify([table.columns.map(({ name }) => guardedText(name))], { delimiter })
  let batch: string[][] = []
  for (const row of table.rows()) {
    batch.push(row.map((cell, place) => cellText(cell, table.columns[place]?.kind ?? 'text', decimal, timeText)))
    if (batch.length < batchRows) continue
    yield stringify(batch, { delimiter })
    batch = []
  }
  if (batch.length > 0) yield stringify(batch, { delimiter })
}

function cellText(cell: Cell, kind: ColumnKind, decimal: DecimalMark, timeText: (ms: number) => string): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return kind === 'time' ? timeText(cell) : numberText(cell, decimal)
  if (typeof cell === 'boolean') return String(cell)
  // A list that begins with a negative number is no formula either.
  return kind === 'numbers' ? cell.replaceAll('.', decimal) : guardedText(cell)
}
