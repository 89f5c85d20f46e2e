/** Words of the test of several runs in *Recordings*. */
export const testWords = {
  pick: 'Run of a test',
  pickOf: (name: string): string => `Run of a test: ${name}`,
  title: 'Test of several runs',
  meaning:
    'The mean of the run means, value by value, however long each run was; judged by the rules and the limits of the first run. Exclusions and checks told of a run are in it. Nothing is stored.',
  tooFew: 'Choose at least one more recording whose run has ended.',
  runs: (names: readonly string[]): string => `Runs, in order of time: ${names.join(', ')}`,
  form: 'Form the test',
  forming: 'The station computes …',
  table: 'Means of the test',
  value: 'Value',
  mean: 'Mean of the test',
  spread: 'Between the runs',
  validity: 'Validity and verdict',
  valid: 'valid',
  invalid: 'invalid',
  everyRunValid: 'every run valid',
  oneInvalid: (count: number): string => (count === 1 ? 'one run invalid' : `${count} runs invalid`),
  noMean: 'a run has no mean',
  fromTo: (low: string, high: string): string => `${low} to ${high}`,
  deviation: (text: string): string => `standard deviation ${text}`,
  counted: (length: string): string => `${length} counted`,
  copy: 'Copy as a table',
  invented: 'Invented data',
} as const

/** Headings of the copied table, but for those of the runs. */
export const testHeadings = {
  before: [
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
  ],
  mean: (run: string): string => `${run}: mean`,
  counted: (run: string): string => `${run}: counted, min`,
  validity: (run: string): string => `${run}: validity`,
} as const
