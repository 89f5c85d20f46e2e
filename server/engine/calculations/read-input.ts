import { didYouMean } from '../settings/nearest.ts'
import type { Input, ListInput, NumberInput, RowsInput, Value } from './calculation.ts'
import {
  betweenConcentrations,
  type ConcentrationUnit,
  concentrationUnits,
  inUnit,
  unitId,
  unitsBeside,
} from './measures.ts'

export type ReadInput = { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly fault: string }
type Numeric = NumberInput | ListInput | RowsInput

const fault = (text: string): ReadInput => ({ ok: false, fault: text })
const number = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$/s

/** Units that an input takes, its own first. */
export const allowedUnits = ({ kind, unit }: Numeric): readonly string[] =>
  kind === 'rows' ? [unit] : unit === 'concentration' ? concentrationUnits : unitsBeside(unit)

/** `5.2 vol%` → number and unit as typed; null where it begins with no number. A comma for a point is none: it parts a list. */
function numberAndUnit(text: string): { readonly value: number; readonly unit: string } | null {
  const [, digits = '', unit = ''] = number.exec(text) ?? []
  const value = Number(digits)
  return digits === '' || !Number.isFinite(value) ? null : { value, unit: unitId(unit) }
}

/** The unit that a text ends with, of an input whose unit is left open; '' without one. */
export const unitTyped = (text: string): string => numberAndUnit(text.split(/[,;]/).at(-1) ?? '')?.unit ?? ''

/**
 * One input as text → what a formula takes, in the input's own unit. Numbers may carry a unit; in a list the last one's
 * goes for those without. Rows are parted by `;`.
 *
 * open: the unit that concentrations of this calculation are worked in. Faults name what was found and what is allowed.
 */
export function readInput(name: string, text: string, input: Input, open: ConcentrationUnit): ReadInput {
  switch (input.kind) {
    case 'choice':
      return readWord(name, text.trim(), input.options)
    case 'choices': {
      const words = text.split(',').map((word) => readWord(name, word.trim(), input.options))
      const wrong = words.find((word) => !word.ok)
      if (wrong) return wrong
      return sized(
        name,
        words.flatMap((word) => (word.ok ? [String(word.value)] : [])),
        input,
      )
    }
    case 'number': {
      if (/^[^,]*\d,\d/.test(text))
        return fault(
          `${name}: "${text.trim()}" is one number with a comma; write a decimal point, and no sign between thousands`,
        )
      const [read] = readNumbers(name, [text], input, open)
      return read ?? fault(`${name}: is empty`)
    }
    case 'list': {
      const read = readNumbers(name, text.split(','), input, open)
      return read.find((one) => !one.ok) ?? sized(name, numbersOf(read), input)
    }
    case 'rows': {
      const rows = text.split(';').map((row) => readNumbers(name, row.split(','), input, open))
      return rows.flat().find((one) => !one.ok) ?? sized(name, rows.map(numbersOf), input)
    }
  }
}

const numbersOf = (read: readonly ReadInput[]): number[] =>
  read.flatMap((one) => (one.ok && typeof one.value === 'number' ? [one.value] : []))

function sized(
  name: string,
  value: Value & readonly unknown[],
  { fewest, most }: { fewest: number; most: number },
): ReadInput {
  return value.length >= fewest && value.length <= most
    ? { ok: true, value }
    : fault(
        `${name}: ${value.length} given; takes ${fewest === most ? fewest : `${fewest} to ${most}`}, parted by commas`,
      )
}

function readWord(name: string, word: string, options: readonly string[]): ReadInput {
  return options.includes(word)
    ? { ok: true, value: word }
    : fault(`${name}: "${word}" is not known${sentence(didYouMean(word, options))}use ${options.join(', ')}`)
}

function readNumbers(name: string, texts: readonly string[], input: Numeric, open: ConcentrationUnit): ReadInput[] {
  const own = input.unit === 'concentration' ? open : input.unit
  const parts = texts.map(numberAndUnit)
  const last = parts.at(-1)?.unit || own
  return parts.map((part, place) => {
    if (part === null)
      return fault(
        `${name}: "${(texts[place] ?? '').trim()}" is no number; write for example ${name}=${sample(input, own)}`,
      )
    const unit = part.unit || last
    const allowed = allowedUnits(input)
    if (!allowed.includes(unit))
      return fault(`${name}: "${unit}" does not fit${sentence(didYouMean(unit, allowed))}use ${listed(allowed)}`)
    const value =
      input.unit === 'concentration'
        ? betweenConcentrations(part.value, unit as ConcentrationUnit, open)
        : inUnit(part.value, unit, own)
    if (Number.isNaN(value))
      return fault(
        `${name}: "${unit}" cannot stand beside ${open}; state all concentrations as shares or all as masses`,
      )
    return isInRange(value, input)
      ? { ok: true, value }
      : fault(`${name}: ${part.value} ${unit} is outside ${rangeText(input, own)}`)
  })
}

/** Bounds belong to it; what turning a unit does to the last digit is forgiven. */
const isInRange = (value: number, { low, high }: Numeric): boolean =>
  value >= low - 1e-12 * Math.abs(low) && value <= high + 1e-12 * Math.abs(high)

/** `; did you mean "ppm"? ` or `; `, before what goes on. */
export const sentence = (question: string): string => `${question || ';'} `

const sample = ({ low, high }: Numeric, unit: string): string =>
  `${low <= 10 && high >= 10 ? 10 : low}${unit === '1' ? '' : unit}`
const listed = (words: readonly string[]): string =>
  words.length > 1 ? `${words.slice(0, -1).join(', ')} or ${words.at(-1)}` : words.join('')

/** `0…20.9 vol%`; the unit 1 stays unwritten. */
export const rangeText = ({ low, high }: Numeric, unit: string): string =>
  `${low}…${high}${unit === '1' || unit === '' ? '' : ` ${unit}`}`
