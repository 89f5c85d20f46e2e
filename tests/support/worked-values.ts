import { readFileSync } from 'node:fs'
import { join } from 'node:path'

/** A worked value of a published equation: inputs with units, what they come to, the printed rounding, and the source. */
export interface WorkedValue {
  readonly id: string
  readonly inputs: Readonly<
    Record<string, { readonly value: number | number[] | number[][] | string | string[]; readonly unit: string }>
  >
  readonly expected: { readonly value: number | number[] | boolean | string; readonly unit: string }
  readonly tolerance: { readonly abs?: number; readonly rel?: number; readonly exact?: boolean }
  readonly source: string
  readonly status: 'published' | 'common practice' | 'from memory'
  /** As a source prints it, rounded. */
  readonly published_value?: number | number[]
  readonly note?: string
}

let rows: readonly WorkedValue[] | undefined

/** The whole collection, in its order. */
export function workedValues(): readonly WorkedValue[] {
  rows ??= JSON.parse(
    readFileSync(join(import.meta.dirname, '../fixtures/published/gas-calculations.json'), 'utf8'),
  ) as WorkedValue[]
  return rows
}

export function workedValue(id: string): WorkedValue {
  const found = workedValues().find((row) => row.id === id)
  if (!found) throw new Error(`no worked value ${id}`)
  return found
}

/** A numeric input of a row; throws where it is a list or a word. */
export function input(row: WorkedValue, name: string): number {
  const value = row.inputs[name]?.value
  if (typeof value !== 'number') throw new Error(`${row.id} has no number ${name}`)
  return value
}

export const list = (row: WorkedValue, name: string): number[] => {
  const value = row.inputs[name]?.value
  if (!Array.isArray(value) || !value.every((one) => typeof one === 'number'))
    throw new Error(`${row.id} has no list ${name}`)
  return value
}

/** How far a value lies off the row's, as a share of what its tolerance allows: at most 1 is right. */
export function shareOfTolerance(row: WorkedValue, found: number): number {
  const { value } = row.expected
  if (typeof value !== 'number') throw new Error(`${row.id} expects no number`)
  const allowed = row.tolerance.abs ?? Math.abs(value) * (row.tolerance.rel ?? 0)
  return allowed > 0 ? Math.abs(found - value) / allowed : Number(found !== value) * 2
}
