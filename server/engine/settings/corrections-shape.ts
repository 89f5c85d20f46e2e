import { z } from 'zod'
import { choice } from '../../../protocols/instrument/choice.ts'
import { channelKey } from './setting-values.ts'

const cleanPurge = z.strictObject({
  floors: z
    .record(channelKey, z.number().positive())
    .default({})
    .describe(
      'Channel → the reading above which purge air is not clean, in the channel’s unit: the air brings some of the gas.',
    )
    .meta({ title: 'Not clean above' }),
  oxygenWithin: z
    .number()
    .positive()
    .max(5)
    .default(0.3)
    .describe('How far the oxygen of a purge may lie from `conversions.ambientOxygen`, vol%.'),
  unclean: choice({ note: 'noted, its zero is used', skip: 'it gives no zero' })
    .default('note')
    .describe('What becomes of a purge that is not clean.')
    .meta({ title: 'A purge that is not clean' }),
})

const drift = z.strictObject({
  limitPercent: z
    .number()
    .positive()
    .max(100)
    .describe(
      'How far a zero or check may lie from the one before, or, where nothing corrects it, from the first of the run; % of what `of` and `bases` say is 100 %.',
    ),
  of: choice({ 'span-gas': 'the gas of its span check', range: 'its range' })
    .default('span-gas')
    .describe('What 100 % is for a channel.')
    .meta({ title: '100 % is' }),
  bases: z
    .record(channelKey, z.number().positive())
    .default({})
    .describe(
      'Channel → what 100 % is for it, in its unit, whatever `of` says: a span gas, a calibration span. A channel for which nothing tells it is not judged; the zeros of purges are by this and by `range` alone.',
    )
    .meta({ title: '100 % for single channels' }),
  orWithin: z
    .number()
    .min(0)
    .default(0)
    .describe('A difference of no more than this, in the channel’s unit, passes whatever its percentage.')
    .meta({ title: 'Passes within' }),
  correctAbovePercent: z
    .number()
    .min(0)
    .max(100)
    .default(0)
    .describe(
      'A drift up to this is left as it is; above it, zeros on the line between two purges and factors from checks correct it.',
    )
    .meta({ title: 'Corrected above' }),
  biasPercent: z
    .number()
    .positive()
    .max(100)
    .optional()
    .describe(
      'How far a check through the whole system may lie from what the analyser shows when given the gas directly, or else from the gas.',
    )
    .meta({ title: 'Limit of bias' }),
  beyond: choice({ invalidate: 'they are invalid', remark: 'they stand, and say so' })
    .default('invalidate')
    .describe(
      'What a drift beyond the limit makes of averages back to the last good zero or check. A bias beyond its limit always makes them invalid.',
    )
    .meta({ title: 'Averages beyond the limit' }),
})

const answersTo = z.strictObject({
  by: z
    .record(channelKey, z.number().min(-10).max(10))
    .describe('Channel of the other gas → what this cell shows for one unit of it, each in its channel’s unit.')
    .meta({ title: 'Answers to' }),
})

export const corrections = z.strictObject({
  zero: choice({ none: 'nothing', last: 'the last purge’s zero', interpolated: 'the line between zeros' })
    .default('none')
    .describe(
      'What is subtracted from combustion gases. On the line between the zeros of the purges before and after, averages are provisional until the latter.',
    )
    .meta({ title: 'Zero subtracted' }),
  cleanPurge: cleanPurge.prefault({}),
  span: z
    .record(channelKey, z.number().positive())
    .default({})
    .describe('Channel → true value / reading, from a check with calibration gas.')
    .meta({ title: 'Span factors' }),
  spanFrom: choice({ file: 'the station file', checks: 'the span checks told' })
    .default('file')
    .describe(
      'Where span factors are from: `span` of this file, or, for a channel with span checks, these in place of it, linear in time between them.',
    )
    .meta({ title: 'Span factors from' }),
  crossSensitivity: z
    .record(channelKey, answersTo)
    .default({})
    .describe('Cells that also answer to other gases: channel → what it answers to.'),
  bias: choice({ none: 'nothing', 'run-means': 'means of runs' })
    .default('none')
    .describe(
      'What is corrected by the checks before and after a run (US EPA Method 7E). The US regime presets means of runs where `zero` subtracts nothing.',
    )
    .meta({ title: 'Corrected by checks' }),
  drift: drift.optional().describe('Whether zeros and checks are held against a limit of drift, and what follows.'),
  purgeAir: choice({ analyser: 'at the analyser', probe: 'at the probe', 'not-stated': 'not stated' })
    .default('not-stated')
    .describe('Where purge air enters. Exports say what a purge therefore cannot prove.')
    .meta({ title: 'Purge air enters' }),
})
export type Corrections = z.infer<typeof corrections>
