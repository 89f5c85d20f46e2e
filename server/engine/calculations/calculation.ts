import type { Quantity } from '../../../protocols/words/units.ts'
import type { MeasureUnit } from './measures.ts'

/** Where a formula comes from: read in its text, plain practice, or remembered and to be confirmed before it is quoted. */
export const statuses = ['published', 'common practice', 'from memory'] as const
export type Status = (typeof statuses)[number]

/** A unit, `concentration` where the user's own unit goes through unchanged, or none for words. */
export type InputUnit = MeasureUnit | 'concentration'

export interface NumberInput<U extends string = string> {
  readonly kind: 'number'
  readonly unit: U
  readonly meaning: string
  readonly low: number
  readonly high: number
  readonly otherwise: number | null
}
export interface ListInput<U extends string = string> {
  readonly kind: 'list'
  readonly unit: U
  readonly meaning: string
  readonly low: number
  readonly high: number
  readonly fewest: number
  readonly most: number
}
/** Rows of plain numbers, as many as columns. */
export interface RowsInput {
  readonly kind: 'rows'
  readonly unit: '1'
  readonly meaning: string
  readonly low: number
  readonly high: number
  readonly fewest: number
  readonly most: number
}
export interface ChoiceInput<C extends string = string> {
  readonly kind: 'choice'
  readonly options: readonly C[]
  readonly meaning: string
  readonly otherwise: C | null
}
export interface ChoicesInput<C extends string = string> {
  readonly kind: 'choices'
  readonly options: readonly C[]
  readonly meaning: string
  readonly fewest: number
  readonly most: number
}
export type Input = NumberInput | ListInput | RowsInput | ChoiceInput | ChoicesInput
export type Inputs = Readonly<Record<string, Input>>

/** What a formula is given for an input. */
type ValueOf<I> =
  I extends NumberInput<infer U>
    ? Quantity<U>
    : I extends ListInput<infer U>
      ? readonly Quantity<U>[]
      : I extends RowsInput
        ? readonly (readonly number[])[]
        : I extends ChoiceInput<infer C>
          ? C
          : I extends ChoicesInput<infer C>
            ? readonly C[]
            : never
export type Value = number | string | readonly number[] | readonly string[] | readonly (readonly number[])[]
/** What a formula gives: a number, several, or a word; NaN, nothing or null where there is no value. */
export type Outcome = number | readonly number[] | string | null

export interface WorkedExample {
  readonly inputs: Readonly<Record<string, string>>
  /** As printed or worked by hand, to its last digit. */
  readonly value: number | readonly number[] | string
  /** Unit of `value` where it is not the result's own. */
  readonly unit?: string
  /** By hand, or where it is printed, in few words. */
  readonly note?: string
}

interface Described {
  /** In kebab-case, in the trade's terms. */
  readonly name: string
  readonly purpose: string
  readonly result: { readonly name: string; readonly unit: InputUnit | '' }
  /** In words, with the inputs' names. */
  readonly formula: string
  /** Where it holds, in words. */
  readonly valid: string
  readonly source: string
  readonly status: Status
  /** Ids of the published or worked checks that it is held against. */
  readonly checks: readonly string[]
  readonly example: WorkedExample
  /** What to mind where somebody decides by the number. */
  readonly caution?: string
}
/** One published calculation; the command, the page, the interface and the documents are made from it. */
export interface Calculation extends Described {
  readonly inputs: Inputs
  compute(values: Readonly<Record<string, Value>>): Outcome
}
/** Calculations that belong together. */
export interface Family {
  readonly title: string
  readonly calculations: readonly Calculation[]
}

/** Ties a formula to its inputs: a unit that does not fit the function does not compile. */
export function calculation<const I extends Inputs>(
  words: Described & { readonly inputs: I; formulaOf(values: { [K in keyof I]: ValueOf<I[K]> }): Outcome },
): Calculation {
  const { formulaOf, ...described } = words
  // The values come from the inputs' own descriptions, so that their shape is that of the type.
  return { ...described, compute: (values) => formulaOf(values as { [K in keyof I]: ValueOf<I[K]> }) }
}

type Range = readonly [low: number, high: number]
export const one = <U extends InputUnit>(
  unit: U,
  meaning: string,
  [low, high]: Range,
  otherwise: number | null = null,
): NumberInput<U> => ({ kind: 'number', unit, meaning, low, high, otherwise })
export const several = <U extends InputUnit>(
  unit: U,
  meaning: string,
  [low, high]: Range,
  [fewest, most]: Range = [1, 100],
): ListInput<U> => ({ kind: 'list', unit, meaning, low, high, fewest, most })
export const choice = <const C extends string>(
  options: readonly C[],
  meaning: string,
  otherwise: NoInfer<C> | null = null,
): ChoiceInput<C> => ({ kind: 'choice', options, meaning, otherwise })

/** What many calculations ask for. */
export const concentration = (meaning: string, range: Range = [-1e7, 1e7]): NumberInput<'concentration'> =>
  one('concentration', meaning, range)
export const dryOxygen = one('vol%', 'measured oxygen, dry', [-1, 25])
export const airOxygen = (otherwise: number): NumberInput<'vol%'> =>
  one('vol%', 'oxygen of the air: 21 in EU texts, 20.9 in US methods', [20, 21], otherwise)
export const referenceOxygen = one('vol%', 'reference oxygen of the limit or permit', [0, 20])
export const water = one('vol%', 'water vapour in the wet gas', [0, 95])
