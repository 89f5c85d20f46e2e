import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'

/** A worked value of a published equation: inputs with units, what they come to, the printed rounding, and the source. */
export interface WorkedValue {
  readonly id: string
  readonly inputs: Readonly<Record<string, { readonly value: number | number[] | string; readonly unit: string }>>
  readonly expected: { readonly value: number | number[] | boolean | string; readonly unit: string }
  readonly tolerance: { readonly abs?: number; readonly rel?: number; readonly exact?: boolean }
  readonly source: string
}

let rows: readonly WorkedValue[] | undefined

/** The collection beside the open data. Fails with the place that it looked at: a check that skips itself proves nothing. */
function collection(): readonly WorkedValue[] {
  const data = process.env.FLUELEDGER_SHARED_DATA ?? resolve(process.cwd(), '..', 'shared', 'data')
  const file = resolve(data, '..', 'reference', 'gas-calculations.json')
  if (!existsSync(file))
    throw new Error(
      `the worked values are missing: ${file} does not exist; set FLUELEDGER_SHARED_DATA to the folder beside theirs`,
    )
  return JSON.parse(readFileSync(file, 'utf8'))
}

export function workedValue(id: string): WorkedValue {
  rows ??= collection()
  const found = rows.find((row) => row.id === id)
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
  if (!Array.isArray(value)) throw new Error(`${row.id} has no list ${name}`)
  return value
}

/** How far a value lies off the row's, as a share of what its tolerance allows: at most 1 is right. */
export function shareOfTolerance(row: WorkedValue, found: number): number {
  const { value } = row.expected
  if (typeof value !== 'number') throw new Error(`${row.id} expects no number`)
  const allowed = row.tolerance.abs ?? Math.abs(value) * (row.tolerance.rel ?? 0)
  return allowed > 0 ? Math.abs(found - value) / allowed : Number(found !== value) * 2
}
