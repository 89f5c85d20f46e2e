import { none } from '../../texts/average-explained.ts'

/** Ten digits, as a pocket calculator shows them: whoever follows the steps finds the same. */
export const calculated = (value: number | null): string =>
  value === null ? none : String(Number(value.toPrecision(10)))
