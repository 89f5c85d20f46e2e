import { isNumeric, numberAndRest } from './numbers.ts'
import { unitOf } from './unit-words.ts'

/** Lines in columns; null for one that cannot be cut. */
export type Rows = readonly (readonly string[] | null)[]

const holdsNumber = (text: string): boolean =>
  /\d/.test(text) && (isNumeric(text) || numberAndRest(text) !== null || /^\d[\d.:/ T-]+$/.test(text))

/** A row of headings: no number in any column, at least two texts, and numbers in most of the rows behind it. */
export function isHeadingRow(row: readonly string[], rows: Rows, count: number): boolean {
  const texts = row.filter((text) => text !== '')
  if (texts.length < 2 || texts.some(holdsNumber)) return false
  const behind = rows.filter((other) => other !== null && other.length === count && other !== row).slice(0, 50)
  const withNumbers = behind.filter((other) => other?.some(holdsNumber)).length
  return behind.length > 0 && withNumbers * 2 > behind.length
}

/** A row of units: at least half of its texts are known ones, and none is a number. */
export function isUnitsRow(row: readonly string[]): boolean {
  const texts = row.filter((text) => text !== '')
  return (
    texts.length > 0 &&
    !texts.some(isNumeric) &&
    texts.filter((text) => unitOf(text) !== null).length * 2 >= texts.length
  )
}
