import type { Quantity } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/** Whether an hour with calibration or maintenance holds enough points: two. Source: 40 CFR 60.1260(b), 60.13(e)(2); 60.13(h)(2)(iii) also asks that they lie 15 minutes apart. */
export const isHourOfTwoPoints = (validPoints: number): boolean => validPoints >= 2

/** Whether a day stays valid: at most five half-hours discarded. Source: Directive 2010/75/EU, Annex VI, Part 8, no. 1.2. */
export const isDayOfHalfHours = (discarded: number): boolean => discarded <= 5

/** Mean of values weighted by the time that each stands for, over those that count. Same length for all three. NaN where nothing counts. Source: common practice. */
export function countedMean(values: readonly number[], seconds: readonly number[], counts: readonly boolean[]): number {
  let [sum, time] = [0, 0]
  values.forEach((value, place) => {
    if (!counts[place]) return
    sum += value * (seconds[place] ?? Number.NaN)
    time += seconds[place] ?? Number.NaN
  })
  return validValue<Quantity<'concentration'>>(sum / time, time > 0)
}
