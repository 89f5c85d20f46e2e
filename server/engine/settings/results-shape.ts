import { z } from 'zod'
import { uncertaintyUses } from '../../../protocols/words/verdicts.ts'

/** How results are stated and compared with their limits. docs/regimes.md has the sources of each choice. */
export const resultSettings = z
  .strictObject({
    label: z
      .enum(['start', 'end', 'both'])
      .default('both')
      .describe('Which time names an average on screens and in reports. Exports carry both.'),
    rounding: z
      .strictObject({
        ties: z
          .enum(['half-even', 'half-away'])
          .default('half-even')
          .describe('An exact half: to the even digit, or away from zero.'),
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
    negative: z
      .enum(['as-is', 'zero'])
      .default('as-is')
      .describe('What is stated and compared for a negative result. Means are never cut off.'),
    belowDetection: z
      .enum(['as-read', 'detection-limit', 'half', 'zero'])
      .default('as-read')
      .describe(
        'What is stated and compared for a mean below the channel’s detection limit: the mean, the limit, half of it, or 0.',
      ),
    comparison: z
      .enum(['absolute', 'rounded'])
      .default('absolute')
      .describe('Results are compared with limits as they are, or rounded to the limit’s last digit.'),
    uncertainty: z
      .enum(uncertaintyUses)
      .optional()
      .describe(
        'What a verdict makes of the expanded uncertainty: `subtract` it from the result, `add` it, or `ignore` it. Not set: no verdicts.',
      ),
  })
  .describe('How averages are stated and compared with limits.')
export type ResultSettings = z.infer<typeof resultSettings>
