import type { Quantity } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

type Seconds = Quantity<'s'>

/** Time to 90 % of a step of a first-order answer: τ ln 10. Source: IUPAC Gold Book R05346 (definition of response time). */
export const responseTime90 = (timeConstant: Seconds): Seconds =>
  validValue<Seconds>(timeConstant * Math.LN10, timeConstant >= 0)

/** Time until a first-order tail has fallen from one concentration to another: t90 · log10(from / to). Source: first-order decay; common practice. Fall and rise of a cell differ. */
export const clearingTime = (from: number, to: number, time90: Seconds): Seconds =>
  validValue<Seconds>(time90 * Math.log10(from / to), to > 0, from >= to, time90 >= 0)
