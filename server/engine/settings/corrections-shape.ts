import { z } from 'zod'
import { id } from './setting-values.ts'

const cleanPurge = z.strictObject({
  floors: z
    .record(id, z.number().positive())
    .default({})
    .describe(
      'Channel → the reading above which purge air is not clean, in the channel’s unit: the air brings some of the gas.',
    ),
  oxygenWithin: z
    .number()
    .positive()
    .max(5)
    .default(0.3)
    .describe('How far the oxygen of a purge may lie from `conversions.ambientOxygen`, vol%.'),
  unclean: z
    .enum(['note', 'skip'])
    .default('note')
    .describe(
      'What becomes of a purge that is not clean: `note`: it is noted and used all the same. `skip`: it gives no zero.',
    ),
})

const drift = z.strictObject({
  limitPercent: z
    .number()
    .positive()
    .max(100)
    .describe(
      'How far a zero or check may lie from the one before, or, where nothing corrects it, from the first of the run; % of what `of` and `bases` say.',
    ),
  of: z
    .enum(['span-gas', 'range'])
    .default('span-gas')
    .describe('What 100 % is: the gas of the channel’s span check, or the channel’s range.'),
  bases: z
    .record(id, z.number().positive())
    .default({})
    .describe(
      'Channel → what 100 % is for it, in its unit, whatever `of` says: a span gas, a calibration span. A channel for which nothing tells it is not judged; the zeros of purges are by this and by `range` alone.',
    ),
  orWithin: z
    .number()
    .min(0)
    .default(0)
    .describe('A difference of no more than this, in the channel’s unit, passes whatever its percentage.'),
  correctAbovePercent: z
    .number()
    .min(0)
    .max(100)
    .default(0)
    .describe(
      'A drift up to this is left as it is; above it, `interpolated` zeros and factors from checks correct it.',
    ),
  biasPercent: z
    .number()
    .positive()
    .max(100)
    .optional()
    .describe(
      'How far a check through the whole system may lie from what the analyser shows when given the gas directly, or else from the gas.',
    ),
  beyond: z
    .enum(['invalidate', 'remark'])
    .default('invalidate')
    .describe(
      'What a drift beyond the limit does: `invalidate`: averages back to the last good zero or check are invalid. `remark`: they say so and stand. A bias beyond its limit always invalidates.',
    ),
})

const answersTo = z.strictObject({
  by: z
    .record(id, z.number().min(-10).max(10))
    .describe('Channel of the other gas → what this cell shows for one unit of it, each in its channel’s unit.'),
})

export const corrections = z.strictObject({
  zero: z
    .enum(['none', 'last', 'interpolated'])
    .default('none')
    .describe(
      'What is subtracted from combustion gases. `last`: the zero of the last purge. `interpolated`: the zero that lies on the line between the purges before and after; averages are provisional until the latter.',
    ),
  cleanPurge: cleanPurge.prefault({}),
  span: z
    .record(id, z.number().positive())
    .default({})
    .describe('Channel → true value / reading, from a check with calibration gas.'),
  spanFrom: z
    .enum(['file', 'checks'])
    .default('file')
    .describe(
      '`file`: the factors of `span`. `checks`: for a channel with span checks theirs in place of it, linear in time between them.',
    ),
  crossSensitivity: z
    .record(id, answersTo)
    .default({})
    .describe('Cells that also answer to other gases: channel → what it answers to.'),
  bias: z
    .enum(['none', 'run-means'])
    .default('none')
    .describe(
      '`run-means`: means of runs are corrected by the checks before and after (US EPA Method 7E); `us` sets it where `zero` is none.',
    ),
  drift: drift.optional().describe('Whether zeros and checks are held against a limit of drift, and what follows.'),
  purgeAir: z
    .enum(['analyser', 'probe', 'not-stated'])
    .default('not-stated')
    .describe(
      'Where purge air enters: at the `analyser`, or at the `probe`. Exports say what a purge therefore cannot prove.',
    ),
})
export type Corrections = z.infer<typeof corrections>
