import { z } from 'zod'
import { id } from './setting-values.ts'

const percent = z.number().min(0).max(100)

/** What the papers of an instrument say of one channel; what is missing is filled in by species (docs/uncertainty.md). */
export const channelUncertainty = z.strictObject({
  resolution: z
    .number()
    .positive()
    .optional()
    .describe('The last digit of the readings, in the channel’s unit. Not set: by `decimals`, else by the species.'),
  calibrationGasPercent: percent
    .optional()
    .describe('Expanded uncertainty (k = 2) of the calibration gas’s certificate, % of the value.'),
  linearity: z
    .number()
    .min(0)
    .optional()
    .describe(
      'Largest departure from the straight line, in the channel’s unit; the larger of this and linearityPercent holds.',
    ),
  linearityPercent: percent.optional().describe('Largest departure from the straight line, % of the value.'),
  zeroDrift: z
    .number()
    .min(0)
    .optional()
    .describe(
      'Largest drift of the zero in 24 h, in the channel’s unit; where purges tell the zero, what they tell counts more and more.',
    ),
  spanDriftPercent: percent
    .optional()
    .describe('Largest drift of the span from calibration to calibration, % of the value.'),
  crossSensitivity: z
    .record(id, z.number().min(0).max(10).describe('0: nothing.'))
    .optional()
    .describe(
      'Other gas channel → the most that one unit of it may add or take here, in this channel’s unit, after all corrections.',
    ),
  residualWaterPercent: z
    .number()
    .min(0)
    .max(20)
    .optional()
    .describe('The most water that the cooler leaves in gas that is called dry, vol%.'),
})
export type ChannelUncertainty = z.infer<typeof channelUncertainty>
