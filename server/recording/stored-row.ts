import type { z } from 'zod'
import { RecordingTrouble } from './trouble.ts'

/** A row as its table promises it; a recording that was changed from outside is named with the table and what is wrong. */
export function storedRow<S extends z.ZodType>(schema: S, row: unknown, table: string): z.infer<S> {
  const parsed = schema.safeParse(row)
  if (parsed.success) return parsed.data
  const faults = parsed.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`)
  throw new RecordingTrouble('recording-damaged', `table ${table} holds a row that cannot be: ${faults.join('; ')}`)
}

/** `WHERE` of the conditions whose value was given; the values go by name. */
export function whereGiven(
  conditions: Readonly<Record<string, unknown>>,
  clauses: Readonly<Record<string, string>>,
): string {
  const used = Object.entries(clauses).filter(([name]) => conditions[name] !== undefined)
  return used.length > 0 ? `WHERE ${used.map(([, clause]) => clause).join(' AND ')}` : ''
}

/** The same, beside a condition that stands already. */
export const andGiven = (...given: Parameters<typeof whereGiven>): string =>
  whereGiven(...given).replace('WHERE', 'AND')
