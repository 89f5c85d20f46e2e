import type { BlockReason } from '../../protocols/words/blocks.ts'

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
export const copyWords = {
  done: 'Copied: paste it into a spreadsheet',
  failed: 'The browser did not let it be copied',
} as const
