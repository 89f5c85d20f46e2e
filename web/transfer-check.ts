import type { Extremes } from './recent-readings.ts'

export type Transfer =
  | { readonly kind: 'agrees' }
  /** By how much the figure typed lies outside of what the lines said, its half step taken off. */
  | { readonly kind: 'differs'; readonly by: number }
  | { readonly kind: 'no-lines' }
  | { readonly kind: 'no-number' }

/** What rounding of decimal figures to doubles can leave, as a share of the value. */
const roundingShare = 1e-12

/**
 * Whether a figure read off a display is what the lines said. `typed`: as it was typed, with point or comma; it stands
 * for all that rounds to it. No source: our rule, told beside the check.
 */
export function transferOf(typed: string, lines: Extremes | null): Transfer {
  const text = typed.trim().replace(',', '.').replace('−', '-')
  if (!/^[+-]?\d*\.?\d+$/.test(text)) return { kind: 'no-number' }
  if (lines === null) return { kind: 'no-lines' }
  const value = Number(text)
  const half = 0.5 * 10 ** -(text.split('.')[1]?.length ?? 0)
  const slack = roundingShare * Math.max(1, Math.abs(value))
  const by = Math.max(lines.low - (value + half), value - half - lines.high)
  return by <= slack ? { kind: 'agrees' } : { kind: 'differs', by }
}
