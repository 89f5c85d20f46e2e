import type { Guess, SampledColumn } from './proposal.ts'

export type Decimal = '.' | ','
const withPoint = /^[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,4})?$/
const withComma = /^[-+]?(?:\d+(?:,\d*)?|,\d+)(?:[eE][-+]?\d{1,4})?$/

/** The number that a text is; NaN where it is none. */
export function numberOf(text: string, decimal: Decimal): number {
  const trimmed = text.trim()
  return (decimal === '.' ? withPoint : withComma).test(trimmed) ? Number(trimmed.replace(',', '.')) : Number.NaN
}

/** A number with either mark. */
export const isNumeric = (text: string): boolean => withPoint.test(text) || withComma.test(text)

/** A number and a short text behind it: `112ppm`, `7.9 %`. Null where it is no such thing. */
export function numberAndRest(text: string): { readonly number: string; readonly rest: string } | null {
  const found = /^[-+]?[0-9.,]+(?:[eE][-+]?\d{1,4}(?![\d.,A-Za-z]))?/.exec(text)
  if (!found) return null
  const rest = text.slice(found[0].length).trim()
  return isNumeric(found[0]) && rest !== '' && rest.length <= 12 && !/^\d|[:/]\d/.test(rest)
    ? { number: found[0], rest }
    : null
}

const inside = /^[-+]?\d+([.,])\d+(?:[eE][-+]?\d{1,4})?(?:$|[^\d.,:])/

/** Point or comma, by which of them stands inside numbers. `skipped`: columns that hold times or dates. */
export function guessDecimal(
  columns: readonly SampledColumn[],
  skipped: ReadonlySet<SampledColumn>,
): { readonly decimal: Decimal; readonly guess: Guess } {
  let points = 0
  let commas = 0
  for (const column of columns) {
    if (skipped.has(column)) continue
    for (const text of column.texts) {
      const mark = text === null ? undefined : inside.exec(text.trim())?.[1]
      if (mark === '.') points++
      else if (mark === ',') commas++
    }
  }
  const decimal: Decimal = commas > points ? ',' : '.'
  const [own, other] = decimal === ',' ? [commas, points] : [points, commas]
  return {
    decimal,
    guess: {
      what: 'decimal',
      value: decimal,
      confidence: own + other === 0 ? 0.5 : own / (own + other),
      reason:
        own + other === 0
          ? 'no number has decimals: it cannot be told from these lines'
          : `${own} numbers have it inside${other > 0 ? `, ${other} have the other mark` : ''}`,
    },
  }
}
