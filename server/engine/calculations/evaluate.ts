import { didYouMean } from '../settings/nearest.ts'
import type { Calculation, Input, Outcome, Value } from './calculation.ts'
import {
  betweenConcentrations,
  type ConcentrationUnit,
  concentrationUnits,
  inUnit,
  unitId,
  unitsBeside,
} from './measures.ts'
import { allowedUnits, rangeText, readInput, sentence, unitTyped } from './read-input.ts'

/** An input as it went in: in its own unit, given or by default. */
export interface Taken {
  readonly name: string
  readonly value: Value
  readonly unit: string
  readonly given: boolean
}
export type Evaluation =
  | {
      readonly ok: true
      readonly value: number | readonly number[] | string
      readonly unit: string
      readonly inputs: readonly Taken[]
    }
  | { readonly ok: false; readonly faults: readonly string[] }

/**
 * A calculation on inputs as text, such as `{ oxygen: '5.2 vol%' }`; all faults at once.
 *
 * unit: what the result is to be in; its own unless given. Concentrations whose unit is left open are worked in the unit
 * of the first that has one, else in ppm. Never throws; a value is finite.
 */
export function evaluate(
  calculation: Calculation,
  given: Readonly<Record<string, string>>,
  unit: string | null = null,
): Evaluation {
  const faults: string[] = []
  const names = Object.keys(calculation.inputs)
  for (const name of Object.keys(given))
    if (!Object.hasOwn(calculation.inputs, name))
      faults.push(
        `"${name}" is no input of ${calculation.name}${sentence(didYouMean(name, names))}inputs: ${names.join(', ')}`,
      )
  const open = openUnit(calculation, given)
  const values: Record<string, Value> = {}
  for (const [name, input] of Object.entries(calculation.inputs)) {
    const text = Object.hasOwn(given, name) ? given[name] : undefined
    if (text === undefined) {
      const otherwise = 'otherwise' in input ? input.otherwise : null
      if (otherwise === null) faults.push(`${name} is missing: ${asked(input)}`)
      else values[name] = otherwise
      continue
    }
    const read = readInput(name, text, input, open)
    if (read.ok) values[name] = read.value
    else faults.push(read.fault)
  }
  const own = calculation.result.unit === 'concentration' ? open : calculation.result.unit
  const wanted = unit === null ? own : unitId(unit)
  const turnTo = (value: number, to: string): number =>
    calculation.result.unit === 'concentration'
      ? betweenConcentrations(value, own as ConcentrationUnit, to as ConcentrationUnit)
      : inUnit(value, own, to)
  const turn = (value: number): number => turnTo(value, wanted)
  const isKnown = own === wanted || resultUnits(calculation).includes(wanted)
  if (!isKnown || Number.isNaN(turn(1)))
    faults.push(
      `the result cannot be in "${wanted}"; use ${reachableUnits(calculation, turnTo).join(', ') || 'no unit'}`,
    )
  if (faults.length > 0) return { ok: false, faults }
  const taken = Object.entries(calculation.inputs).map(([name, input]) => ({
    name,
    value: values[name] ?? '',
    unit: 'unit' in input ? (input.unit === 'concentration' ? open : input.unit) : '',
    given: Object.hasOwn(given, name),
  }))
  return told(calculation, calculation.compute(values), turn, wanted, taken)
}

/** Units that a result can be asked in, its own first; none for words. */
export const resultUnits = ({ result: { unit } }: Calculation): readonly string[] =>
  unit === '' ? [] : unit === 'concentration' ? concentrationUnits : unitsBeside(unit)

/** Those of them that the result can be turned into as it comes out: a share becomes no mass without a molar mass. */
const reachableUnits = (calculation: Calculation, turnTo: (value: number, to: string) => number): readonly string[] =>
  resultUnits(calculation).filter((to) => !Number.isNaN(turnTo(1, to)))

function told(
  calculation: Calculation,
  outcome: Outcome,
  turn: (value: number) => number,
  unit: string,
  inputs: readonly Taken[],
): Evaluation {
  const nothing: Evaluation = {
    ok: false,
    faults: [`${calculation.name} has no value for these inputs; it holds for: ${calculation.valid}`],
  }
  if (outcome === null) return nothing
  if (typeof outcome === 'string') return { ok: true, value: outcome, unit: '', inputs }
  if (typeof outcome === 'number') {
    const value = turn(outcome)
    return Number.isFinite(value) ? { ok: true, value, unit, inputs } : nothing
  }
  const values = outcome.map(turn)
  return values.length > 0 && values.every(Number.isFinite) ? { ok: true, value: values, unit, inputs } : nothing
}

function openUnit({ inputs }: Calculation, given: Readonly<Record<string, string>>): ConcentrationUnit {
  for (const [name, input] of Object.entries(inputs)) {
    if (!('unit' in input) || input.unit !== 'concentration') continue
    const typed = unitTyped((Object.hasOwn(given, name) ? given[name] : undefined) ?? '')
    const found = concentrationUnits.find((unit) => unit === typed)
    if (found) return found
  }
  return 'ppm'
}

/** What a missing input is, and what it may be. */
function asked(input: Input): string {
  if ('options' in input) return `${input.meaning}; use ${input.options.join(', ')}`
  const [own = '', ...others] = allowedUnits(input)
  const range = rangeText(input, input.unit === 'concentration' ? '' : own)
  const units = input.unit === 'concentration' ? [own, ...others] : others
  return `${input.meaning}; ${range}${units.length > 0 ? `${input.unit === 'concentration' ? ', in' : ', also in'} ${units.join(', ')}` : ''}`
}
