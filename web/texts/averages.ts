import type { AverageRow, BlockReason, BlockState, Detection } from '../../protocols/words/blocks.ts'

export const blockStateWords: Readonly<Record<BlockState, string>> = {
  open: 'running',
  provisional: 'provisional',
  final: 'final',
}
/** How the readings of an average stand to the detection limit; nothing is said where all lie above. */
export const detectionWords: Readonly<Record<Detection, string>> = {
  ADL: '',
  DLL: 'some readings below the detection limit',
  BDL: 'all readings below the detection limit',
}
export const reasonWords: Readonly<Record<BlockReason, string>> = {
  coverage_low: 'too little counted',
  quadrant_empty: 'a quarter of the hour has no reading',
  points_too_close: 'the two points stand too close',
  minutes_short: 'too few minutes counted',
  nothing_counted: 'nothing counted',
  not_operating: 'plant not running',
  run_started: 'run started within',
  run_ended: 'run ended within',
  oxygen_invalid: 'oxygen invalid',
  peripheral_invalid: 'a supporting channel was invalid',
  oxygen_near_ambient: 'oxygen near ambient: nothing can be referred',
  oxygen_below_reference_not_corrected: 'oxygen below reference, not corrected',
  moisture_unknown: 'moisture unknown',
  no_zero_yet: 'no zero yet',
  internal_zero_drift_not_observable: 'the instrument zeroes itself: drift not observable',
  gap: 'gap in the lines',
  instrument_fault: 'instrument fault',
  clock_step: 'clock step',
  excluded: 'a stretch was excluded by hand',
  drift_beyond_limit: 'the instrument drifted beyond the method’s limit',
  bias_beyond_limit: 'a check missed its gas by more than the method allows',
  drift_noted: 'drift beyond the limit, noted: prove the instrument anew before the next run',
  zero_not_followed: 'no zero followed: the last one was held',
  readings_not_converted: 'readings that could not be converted, as with oxygen near that of air, are left out',
  defect: 'a defect of this program',
}

/** Columns of the table that it can be ordered by. */
export const orderWords = {
  time: 'Time',
  channel: 'Channel',
  mean: 'Mean',
  minimum: 'Lowest',
  maximum: 'Highest',
  deviation: 'Deviation',
  coverage: 'Counted',
  validity: 'Validity',
} as const
/** What a reason asks of whoever reads it; the others speak for themselves. */
export const reasonHints: Readonly<Partial<Record<BlockReason, string>>> = {
  coverage_low: 'Purges, settling, faults and gaps take time away: the phases of the stretch show which.',
  nothing_counted: 'Look at the phases of the stretch: nothing in it was settled measuring.',
  gap: 'No line came for a time; nothing is drawn or counted across it.',
  oxygen_invalid: 'What is referred to an oxygen content needs valid oxygen in the same readings.',
  peripheral_invalid: 'Moisture or another channel that the conversion needs did not have enough valid readings.',
  oxygen_near_ambient: 'Referring would divide by almost nothing: is the burner on, does air leak in?',
  no_zero_yet: 'No zero had been taken before: nothing was subtracted.',
  run_started: 'The run fills only part of it; the whole block is what coverage is measured against.',
  run_ended: 'The run fills only part of it; the whole block is what coverage is measured against.',
}
export const textToCopy = 'Text to be copied'
export const copied = 'Copied: paste it into a spreadsheet'
export const copiedCount = (count: number): string => `${copied} (${count} rows)`
export const copyFailed = 'The browser did not let it be copied'

export const running = 'running'
export const valid = 'valid'
export const invalid = 'invalid'
export const average = 'Average'
export const value = 'Value'
export const asLimitsSet = 'as the limits are set'
export const supportingOnes = 'supporting ones'
export const rolling = (average: string): string => `${average}, rolling`
export const validOnly = 'valid only'
export const invalidOnly = 'invalid only'
export const order = 'Order'
export const decimalMark = 'Decimal mark'
export const decimalMarks: readonly (readonly [string, string])[] = [
  ['.', 'point'],
  [',', 'comma'],
]
export const exportBlocks = 'Export the recording’s blocks'
export const exported = 'Export'
export const about = (rule: string, isByClock: boolean, isFrequent: boolean): string =>
  `Rule of validity: ${rule}; blocks are aligned to the ${isByClock ? 'clock' : 'run’s start'}. Exports and copies hold every digit; the screen rounds. ± is the expanded uncertainty, k = 2: about 95 %.${isFrequent ? ' Averages that come so often are those of the last 2 hours, or of the last 24 of one channel; exports hold all.' : ''}`
export const noneFits = 'No average fits this choice.'
export const noneEnded = 'No block has ended yet. The first appears here when it does.'

export const unit = 'Unit'
export const detailsOf = (channel: string, time: string): string => `Details of ${channel}, ${time}`
export const whereFrom = 'Where this number comes from'
export const whereItComesFrom = (channel: string, mean: string): string => `${channel} ${mean}: where it comes from`
/** Before the figures where the table has no columns. */
export const lowest = 'lowest'
export const highest = 'highest'
export const deviation = 'deviation'
export const shareCounted = (share: string): string => `${share} counted`
export const aboveLimit = (limit: string): string => `above its limit of ${limit}`
export const belowLimit = (limit: string): string => `below its limit of ${limit}`
export const soFar = (reasons: string): string => `so far: ${reasons}`

export const nothingAgainst = 'Nothing has to be said against it.'
export const nothingAgainstSoFar = 'Nothing has to be said against it so far.'
export const ofValue = 'value'
export const ofCounted = 'counted'
export const counted = (share: string, length: string, readings: number, rule: string): string =>
  `${share}: ${length}, ${readings} readings. Rule: ${rule}`
export const ofRange = 'lowest, highest'
export const range = (low: string, high: string, deviation: string): string =>
  `${low} to ${high}, standard deviation ${deviation}`
export const ofConditions = 'conditions'
export const ofUncertainty = 'uncertainty'
export const expanded = (value: string): string => `± ${value}, expanded, k = 2`
export const ofDetection = 'detection'
export const reasons = 'Reasons'
export const invalidSoFar = 'So far invalid: '
export const invalidBecause = 'Invalid: '
export const remark = 'Remark: '

/** What the decision rule makes of an average; `named`: the limit. */
type Verdict = AverageRow['verdicts'][number]['verdict']
const verdictWords: Readonly<Record<Verdict, string>> = {
  below: 'below',
  above: 'above',
  undecided: 'within its uncertainty of',
}
export const ruleWords = {
  subtract: 'uncertainty subtracted',
  add: 'uncertainty added',
  ignore: 'uncertainty not regarded',
} as const
export const itsLimit = 'its limit'
export const itsLimitOf = (limit: string): string => `its limit of ${limit}`
export const notDecided = (named: string): string => `not decided against ${named}: its uncertainty is not known`
export const judgedWhatever = (complies: boolean, named: string): string =>
  `${complies ? 'complies with' : 'does not comply with'} ${named}, whatever its uncertainty`
export const judged = (verdict: Verdict, named: string, complies: boolean): string =>
  `${verdictWords[verdict]} ${named}: ${complies ? 'complies' : 'does not comply'}`

/** Headings of the copied table. */
export const copiedHeading: readonly string[] = [
  'Start',
  'End',
  'Average',
  'Channel',
  'Value',
  'Unit',
  'Basis',
  'Reference O₂, %',
  'Mean',
  '± (k = 2)',
  'Lowest',
  'Highest',
  'Standard deviation',
  'Readings',
  'Coverage',
  'Validity',
  'Verdict',
  'Reasons',
  'State',
  'Detection',
  'Conditions',
]
