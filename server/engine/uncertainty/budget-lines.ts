import { unitText } from '../../../protocols/words/units.ts'
import type { Budget, Contribution } from './budget.ts'
import type { DoubtSource } from './contributions.ts'

/** A contribution in words, for whoever asks where the uncertainty comes from. */
export interface BudgetLine {
  readonly name: string
  /** In the value's unit. */
  readonly standard: number
  /** Of the combined variance, %. */
  readonly share: number
  readonly detail: string
}

const words: Readonly<Record<DoubtSource, string>> = {
  repeatability: 'scatter of the readings',
  'unsampled-time': 'time in which nothing counted',
  resolution: 'last digit of the readings',
  'zero-drift': 'drift of the zero',
  'zero-left-in': 'zero that is not subtracted',
  'span-drift': 'drift of the span',
  'calibration-gas': 'calibration gas',
  linearity: 'departure from the straight line',
  'cross-sensitivity': 'other gas read along',
  response: 'lag behind a gas that changes',
  'residual-water': 'water left in the dry gas',
  moisture: 'fixed moisture',
}

/** Four digits: more than an uncertainty can have, enough to follow it with a pocket calculator. */
const digits = (value: number): string => String(Number(value.toPrecision(4)))

function detailOf({ standard, unit, sensitivity, distribution, degreesOfFreedom }: Contribution, of: string): string {
  const own = unit === null ? '1' : (unitText[unit] ?? unit)
  const shape = distribution === 'rectangular' ? 'evenly spread' : 'normal'
  const freedom = degreesOfFreedom === null ? '' : `, ${digits(degreesOfFreedom)} degrees of freedom`
  return `u ${digits(standard)} ${own} × ${digits(Math.abs(sensitivity))} ${of} per ${own}, ${shape}${freedom}`
}

/** The lines of a budget, the largest first. */
export const budgetLines = ({ contributions, unit }: Budget): BudgetLine[] =>
  contributions.map((one) => ({
    name: [words[one.source], one.channel, one.from].filter((part) => part !== null).join(', '),
    standard: one.contribution,
    share: one.sharePercent,
    detail: detailOf(one, unitText[unit] ?? unit),
  }))
