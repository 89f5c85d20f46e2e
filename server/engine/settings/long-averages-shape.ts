import { z } from 'zod'
import { choice } from '../../../protocols/instrument/choice.ts'
import { calendarDay, durationMs } from '../../../protocols/words/time.ts'
import { blockLength } from './setting-values.ts'

const fraction = z.string().regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/, 'a fraction of whole numbers as 3/4')

const needs = z
  .strictObject({
    atMostInvalid: z
      .int()
      .min(0)
      .max(1440)
      .optional()
      .describe('So many blocks may be invalid or missing.')
      .meta({ title: 'Invalid at most' }),
    atLeastValid: z
      .int()
      .min(1)
      .max(1440)
      .optional()
      .describe('So many blocks must be valid.')
      .meta({ title: 'Valid at least' }),
    share: fraction
      .optional()
      .describe('The share of the blocks that must be valid, as 3/4.')
      .meta({ title: 'Share valid' }),
  })
  .refine(
    ({ atMostInvalid, atLeastValid, share }) =>
      atMostInvalid !== undefined || atLeastValid !== undefined || share !== undefined,
    'needs at least one of atMostInvalid, atLeastValid, share',
  )

const averageOfBlocks = z.strictObject({
  average: z
    .string()
    .refine(
      (text) => text === calendarDay || durationMs(text) !== null,
      'P1D for the day, or a length of whole minutes as ISO 8601: PT3H',
    )
    .meta({
      description: 'Its length: `P1D` for the calendar day, however many hours it has; else ISO 8601 as PT3H.',
      examples: ['P1D', 'PT3H'],
    }),
  of: blockLength
    .describe('Length of the blocks whose valid means are averaged: one of `averaging.blocks`.')
    .meta({ title: 'Of blocks over' }),
  window: choice({ fixed: 'for each stretch', rolling: 'with each block' })
    .default('fixed')
    .describe('When there is a new value.')
    .meta({ title: 'A new value' }),
  hours: choice({ clock: 'the last by the clock', operating: 'the last in operation' })
    .default('clock')
    .describe(
      'Where a value comes with each block: the last blocks by the clock, or the last in which the plant ran; idle ones are skipped.',
    )
    .meta({ title: 'Which blocks' }),
  valid: needs.describe('What it needs to be valid; all that is set must hold.').meta({ title: 'Valid if' }),
})
export type AverageOfBlocks = z.infer<typeof averageOfBlocks>

export const averagesOfBlocks = z
  .array(averageOfBlocks)
  .max(6)
  .default([])
  .describe('Means of the valid blocks of a day or of several hours, each with its own rule of validity.')
  .meta({ title: 'Averages of blocks' })

/** How many blocks a rolling average of blocks holds. */
export const blocksHeld = ({ average, of }: AverageOfBlocks): number =>
  (durationMs(average) ?? Number.NaN) / (durationMs(of) ?? Number.NaN)

export const runAverage = z
  .union([
    z.literal('none').meta({ title: 'it is not formed' }),
    z.strictObject({
      rule: z
        .literal('fraction')
        .meta({ title: 'a share of the run’s time must count' })
        .describe('What must have counted.'),
      minimum: fraction.default('2/3').describe('The share of the run’s time that must have counted.'),
    }),
    z.strictObject({
      rule: z.literal('minutes').meta({ title: 'so many minutes must count' }),
      minimum: z.number().positive().describe('Counted minutes.'),
    }),
  ])
  .default('none')
  .describe('The average over the whole run, and what it needs to be valid.')
  .meta({ title: 'Average over the run' })
export type RunAverage = z.infer<typeof runAverage>
