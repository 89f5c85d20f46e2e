import type { Calculation, Input, Status } from './calculation.ts'
import { catalogue } from './catalogue.ts'
import { resultUnits } from './evaluate.ts'
import { allowedUnits } from './read-input.ts'

/** An input as data: what it is, what it takes, and what stands in where it is left out. */
export interface DescribedInput {
  readonly name: string
  readonly kind: Input['kind']
  readonly meaning: string
  /** Its own first; empty for words. A number without a unit is in the first. */
  readonly units: readonly string[]
  /** Its unit is the reader's: all such inputs of a calculation as shares, or all as masses. */
  readonly open: boolean
  readonly low: number | null
  readonly high: number | null
  readonly fewest: number
  readonly most: number
  /** Words to choose from; empty for numbers. */
  readonly options: readonly string[]
  /** In its own unit; null where the input must be given. */
  readonly otherwise: number | string | null
}
export interface DescribedCalculation {
  readonly name: string
  readonly family: string
  readonly purpose: string
  readonly inputs: readonly DescribedInput[]
  readonly result: { readonly name: string; readonly units: readonly string[] }
  readonly formula: string
  readonly valid: string
  readonly source: string
  readonly status: Status
  readonly checks: readonly string[]
  readonly caution: string
  readonly example: {
    readonly inputs: Readonly<Record<string, string>>
    readonly value: number | readonly number[] | string
    readonly unit: string
    readonly note: string
  }
}

/** A calculation as data. */
export function described(calculation: Calculation, family: string): DescribedCalculation {
  const { name, purpose, inputs, result, formula, valid, source, status, checks, caution = '', example } = calculation
  const units = resultUnits(calculation)
  return {
    name,
    family,
    purpose,
    inputs: Object.entries(inputs).map(([key, input]) => describedInput(key, input)),
    result: { name: result.name, units },
    formula,
    valid,
    source,
    status,
    checks,
    caution,
    example: {
      inputs: example.inputs,
      value: example.value,
      unit: example.unit ?? exampleUnit(calculation),
      note: example.note ?? '',
    },
  }
}

/** The whole catalogue as data, in its order. */
export const describedCatalogue = (): readonly DescribedCalculation[] =>
  catalogue.flatMap(({ title, calculations }) => calculations.map((calculation) => described(calculation, title)))

function describedInput(name: string, input: Input): DescribedInput {
  const isWords = input.kind === 'choice' || input.kind === 'choices'
  const isOne = input.kind === 'number' || input.kind === 'choice'
  return {
    name,
    kind: input.kind,
    meaning: input.meaning,
    units: isWords ? [] : allowedUnits(input),
    open: !isWords && input.unit === 'concentration',
    low: isWords ? null : input.low,
    high: isWords ? null : input.high,
    fewest: isOne ? 1 : input.fewest,
    most: isOne ? 1 : input.most,
    options: isWords ? input.options : [],
    otherwise: isOne ? input.otherwise : null,
  }
}

/** An open unit is that of the example's first concentration that has one. */
function exampleUnit({ inputs, result, example }: Calculation): string {
  if (result.unit !== 'concentration') return result.unit
  const typed = Object.entries(example.inputs).flatMap(([name, text]) => {
    const input = inputs[name]
    return input && 'unit' in input && input.unit === 'concentration' ? [/[a-z%][\w%/]*$/i.exec(text)?.[0] ?? ''] : []
  })
  return typed.find((unit) => unit !== '') ?? 'ppm'
}
