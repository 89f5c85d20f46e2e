/** Words of the test of several runs in *Recordings*. */
export const pick = 'Run of a test'
export const pickOf = (name: string): string => `Run of a test: ${name}`
export const title = 'Test of several runs'
export const meaning =
  'The mean of the run means, value by value, however long each run was; judged by the rules and the limits of the first run. Exclusions and checks told of a run are in it. Nothing is stored.'
export const tooFew = 'Choose at least one more recording whose run has ended.'
export const runs = (names: readonly string[]): string => `Runs, in order of time: ${names.join(', ')}`
export const form = 'Form the test'
export const table = 'Means of the test'
export const value = 'Value'
export const mean = 'Mean of the test'
export const spread = 'Between the runs'
export const validity = 'Validity and verdict'
export const everyRunValid = 'every run valid'
export const oneInvalid = (count: number): string => (count === 1 ? 'one run invalid' : `${count} runs invalid`)
export const noMean = 'a run has no mean'
export const deviation = (text: string): string => `standard deviation ${text}`
export const counted = (length: string): string => `${length} counted`

/** Headings of the copied table, but for those of the runs. */
export const copiedHeading: readonly string[] = [
  'Channel',
  'Value',
  'Unit',
  'Basis',
  'Reference O₂, %',
  'Mean of the test',
  '± (k = 2)',
  'Lowest run',
  'Highest run',
  'Standard deviation of the runs',
  'Validity',
  'Verdict',
  'Detection',
  'Conditions',
]
export const copiedMean = (run: string): string => `${run}: mean`
export const copiedCounted = (run: string): string => `${run}: counted, min`
export const copiedValidity = (run: string): string => `${run}: validity`
