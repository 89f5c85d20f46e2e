export type DecimalMark = '.' | ','

/**
 * The shortest decimal text that reads back to the same double, unrounded; empty where there is no value.
 * Rounding belongs to screens and reports. Source: Number::toString of ECMAScript, which is the shortest that reads back.
 */
export function numberText(value: number | null, decimal: DecimalMark = '.'): string {
  if (value === null || !Number.isFinite(value)) return ''
  const text = String(value)
  return decimal === ',' ? text.replace('.', ',') : text
}
