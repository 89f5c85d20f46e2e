import { z } from 'zod'
import { choice, choiceOf } from '../../../protocols/instrument/choice.ts'
import { uncertaintyUses } from '../../../protocols/words/verdicts.ts'

/** How results are stated and compared with their limits. docs/regimes.md has the sources of each choice. */
export const resultSettings = z
  .strictObject({
    label: choice({ start: 'its start', end: 'its end', both: 'start and end' })
      .default('both')
      .describe('Which time names an average on screens and in reports. Exports carry both.')
      .meta({ title: 'An average is named by' }),
    rounding: z
      .strictObject({
        ties: choice({ 'half-even': 'to the even digit', 'half-away': 'away from zero' })
          .default('half-even')
          .describe('Which way an exact half is rounded.')
          .meta({ title: 'An exact half' }),
        decimals: z
          .int()
          .min(0)
          .max(6)
          .optional()
          .describe('Decimals of stated results; not with `significantFigures`.'),
        significantFigures: z
          .int()
          .min(1)
          .max(9)
          .optional()
          .describe('Significant figures of stated results; neither set: the decimals of the channel.'),
      })
      .prefault({})
      .describe('Once, at the end: screens and reports. Exports are never rounded.'),
    negative: choice({ 'as-is': 'the result as it is', zero: '0' })
      .default('as-is')
      .describe('What is stated and compared for a negative result. Means are never cut off.')
      .meta({ title: 'For a negative result' }),
    belowDetection: choice({
      'as-read': 'the mean',
      'detection-limit': 'the detection limit',
      half: 'half the detection limit',
      zero: '0',
    })
      .default('as-read')
      .describe('What is stated and compared for a mean below the channel’s detection limit.')
      .meta({ title: 'For a mean below detection' }),
    comparison: choice({ absolute: 'as they are', rounded: 'rounded like the limit' })
      .default('absolute')
      .describe('Results are compared with limits as they are, or rounded to the limit’s last digit.')
      .meta({ title: 'Results are compared' }),
    uncertainty: choiceOf(uncertaintyUses, {
      ignore: 'nothing: it is left out',
      subtract: 'taken off the result',
      add: 'added to the result',
    })
      .optional()
      .describe('What a verdict makes of the expanded uncertainty. Not set: no verdicts.'),
  })
  .describe('How averages are stated and compared with limits.')
export type ResultSettings = z.infer<typeof resultSettings>
