import type { CalculationInfo } from '../../protocols/live/calculations.ts'

/** The published calculations. */
export const choose = 'Choose a calculation: it opens with its worked example, and works what you type.'
export const unknown = (name: string): string => `There is no calculation “${name}”. `
export const allCalculations = 'All calculations'
export const countOf = (count: number): string => `${count} calculations`
export const foundOf = (found: number, all: number): string => `${found} of ${all}`

export const statusTexts: Readonly<Record<CalculationInfo['status'], string>> = {
  published: 'published: read in a copy of the text named',
  'common practice': 'common practice',
  'from memory': 'from memory: check it in your copy before you quote it',
}
export const inputs = 'Inputs'
export const result = 'Result'
export const unitOf = (input: string): string => `Unit of ${input}`
export const unitOfResult = 'Unit of the result'
export const plainNumber = 'plain'
export const formula = 'Formula'
export const holdsFor = 'Holds for'
export const source = 'Source'
export const status = 'Status'
export const checks = 'Checks'
export const exampleAlone = 'the worked example alone'
export const example = 'Example'
export const exampleAgain = 'Worked example again'

/** What an input may be, and what stands in for it. */
export const anyNumber = 'any'
export const range = (low: string, high: string): string => `${low} … ${high}`
export const partedByCommas = (words: string): string => `${words}; parted by commas`
export const several = (fewest: number, most: number): string =>
  `; ${fewest === most ? fewest : `${fewest} to ${most}`}, parted by commas`
export const ifLeftEmpty = (otherwise: string): string => `; ${otherwise} if left empty`
