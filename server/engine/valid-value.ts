import { type Quantity, quantity } from '../../protocols/words/units.ts'

/** `value` where all that it needs holds and it is finite, else NaN: no formula gives an infinity, none throws. */
export const validValue = <Q extends Quantity<string>>(value: number, ...needs: readonly boolean[]): Q =>
  quantity<Q>(Number.isFinite(value) && needs.every(Boolean) ? value : Number.NaN)

/** A value in whatever unit, or NaN where it is not finite. */
export const finiteOrNaN = <Q extends number>(value: Q): Q => (Number.isFinite(value) ? value : Number.NaN) as Q

/** Bounds included; false for NaN. */
export const isWithin = (value: number, low: number, high: number): boolean => value >= low && value <= high

/** Arithmetic mean; NaN of nothing, and where the sum is beyond all numbers. */
export const meanOf = (values: readonly number[]): number =>
  finiteOrNaN(values.reduce((sum, value) => sum + value, 0) / values.length)

/** Values of one formula, as numbers of their unit; nothing where one of them is not finite. */
export const quantities = <Q extends Quantity<string>>(values: readonly number[]): readonly Q[] =>
  values.every(Number.isFinite) ? values.map((value) => quantity<Q>(value)) : []
