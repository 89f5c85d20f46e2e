import { z } from 'zod'
import { choice, choiceOf } from '../../../protocols/instrument/choice.ts'
import { bases, basisWords } from '../../../protocols/words/quantities.ts'
import { anyWholeRun, calendarDay, durationMs } from '../../../protocols/words/time.ts'
import { gasUnits, units, unitWords } from '../../../protocols/words/units.ts'
import { averagesOfBlocks, runAverage } from './long-averages-shape.ts'
import { blockLength, id, priority, seconds, wholeMinutes } from './setting-values.ts'

export const averaging = z.strictObject({
  blocks: z
    .array(blockLength.meta({ title: 'Length' }))
    .min(1)
    .max(8)
    .default(['PT1M', 'PT30M'])
    .describe('Lengths of the fixed averages; each divides the day.'),
  align: choice({ clock: 'local midnight', run: 'the run’s start' })
    .default('clock')
    .describe('From where blocks are counted.')
    .meta({ title: 'Counted from' }),
  rolling: z
    .array(wholeMinutes.meta({ title: 'Length' }))
    .max(6)
    .default([])
    .describe('Lengths of the rolling averages, renewed each minute.'),
  validity: z
    .discriminatedUnion('rule', [
      z.strictObject({
        rule: z
          .literal('fraction')
          .meta({ title: 'a share of the time must count' })
          .describe('What must have counted.'),
        minimum: z
          .string()
          .regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/, 'a fraction of whole numbers as 2/3')
          .default('2/3')
          .describe('The share of the time that must have counted.'),
      }),
      z.strictObject({
        rule: z.literal('quadrants').meta({ title: 'a point in each quarter of the hour' }),
        purgeIsQualityAssurance: z
          .boolean()
          .describe(
            'Whether an hour with a purge is an hour with required quality assurance: then two points 15 minutes apart do.',
          ),
        minimum: z
          .string()
          .regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/)
          .default('2/3')
          .describe('For lengths other than an hour.'),
      }),
      z.strictObject({
        rule: z.literal('minutes').meta({ title: 'so many minutes must count' }),
        minimum: z.number().positive().describe('Counted minutes.'),
      }),
    ])
    .default({ rule: 'fraction', minimum: '2/3' })
    .describe('What an average needs to be valid.'),
  ofBlocks: averagesOfBlocks,
  run: runAverage,
})

export const conversions = z.strictObject({
  moisture: z
    .union([
      z
        .strictObject({ channel: id.describe('A channel of water vapour, vol%.') })
        .meta({ title: 'a channel tells it' }),
      z
        .strictObject({ percent: z.number().min(0).max(95).describe('A fixed value, vol%.') })
        .meta({ title: 'a fixed value' }),
    ])
    .optional()
    .describe('Water vapour, vol%: from a channel or a fixed value.'),
  moisturePlusMinus: z
    .number()
    .min(0)
    .max(50)
    .optional()
    .describe('By how much a fixed moisture may be off, vol%, for the uncertainty. Not set: a tenth of it.')
    .meta({ title: 'Moisture may be off by' }),
  normal: z
    .strictObject({
      temperatureK: z.number().min(200).max(400).describe('K'),
      pressurekPa: z.number().min(50).max(120).describe('kPa'),
    })
    .default({ temperatureK: 273.15, pressurekPa: 101.325 })
    .describe('Temperature and pressure to which mg/m3 are referred.')
    .meta({ title: 'Normal conditions' }),
  oxygenChannel: id
    .optional()
    .describe(
      'The channel that refers the others to the reference oxygen. Not set: the only O2 channel of the channel’s own stream, else the only one of the station.',
    ),
  referenceOxygen: z.number().min(0).max(20).optional().describe('vol%; not set: nothing is referred.'),
  ambientOxygen: z
    .number()
    .min(20)
    .max(21.5)
    .default(20.95)
    .describe('20.9 in US methods, 21 in EU texts, 20.95 physical.'),
  oxygenGuard: z
    .number()
    .min(5)
    .max(21)
    .default(19)
    .describe('Above this oxygen content nothing is referred: the divisor is too small.'),
  onlyAboveReference: z
    .boolean()
    .default(false)
    .describe('Correct only where the measured oxygen is above the reference.'),
  referredUnit: z
    .enum(['mg/m3', 'ppm'])
    .default('mg/m3')
    .describe('The unit of what is referred to the reference oxygen.'),
  noxAs: choice({ NO2: 'NO₂, nitrogen dioxide', NO: 'NO, nitric oxide' })
    .default('NO2')
    .describe('Whose molar mass the mass concentration of NOx takes.')
    .meta({ title: 'NOx told as' }),
  applyTo: choice({ blocks: 'averages, once formed', readings: 'each reading, before' })
    .default('blocks')
    .describe('What is converted: the average that was formed, or each reading before it is averaged.')
    .meta({ title: 'What is converted' }),
})

export const limit = z.strictObject({
  id: id
    .optional()
    .describe('A name for the alarm; formed from channel and average where not set.')
    .meta({ title: 'Name in exports' }),
  channel: id.describe('The channel that is limited.'),
  of: choice({ reading: 'each reading', block: 'a fixed average', rolling: 'a rolling average' })
    .describe('What is compared with the limit.')
    .meta({ title: 'What is limited' }),
  average: z
    .string()
    .refine(
      (text) => text === calendarDay || text === anyWholeRun || durationMs(text) !== null,
      'a length of whole minutes as ISO 8601: PT1M, PT30M, PT1H; P1D for the day; run for the whole run',
    )
    .optional()
    .meta({
      description:
        'For a fixed or a rolling average: which length, one of those that are formed; `P1D` for the day, `run` for the whole run.',
      examples: ['PT30M', 'P1D', 'run'],
    }),
  kind: choice({ high: 'above the value', low: 'below the value' })
    .default('high')
    .describe('On which side of its value the limit is passed.')
    .meta({ title: 'Passed' }),
  value: z.number().describe('The limit.'),
  decimals: z
    .int()
    .min(0)
    .max(6)
    .optional()
    .describe('Decimals of the limit in the permit, where it ends in zeros that a number does not show: 1 for 50.0.'),
  unit: choiceOf(gasUnits, unitWords)
    .or(choiceOf(units, unitWords))
    .describe('The limit’s unit; the value is converted to it where that is possible.'),
  referenceOxygen: z
    .number()
    .min(0)
    .max(20)
    .optional()
    .describe('vol%; not set: the limit holds at the oxygen as measured.'),
  basis: choiceOf(bases, basisWords).default('dry').describe('For gases.'),
  deadband: z
    .number()
    .min(0)
    .default(0)
    .describe('By how much the value must come back before the alarm goes, in the limit’s unit.'),
  onDelaySeconds: seconds.default(0).describe('How long it must be passed before the alarm is raised.'),
  offDelaySeconds: seconds.default(0).describe('How long it must be cleared before the alarm goes.'),
  priority: priority.default('medium').describe('How soon it must be answered.'),
  latched: z.boolean().default(false).describe('The alarm stays until it is reset by hand.'),
})
