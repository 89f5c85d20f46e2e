import { z } from 'zod'
import { instrumentFaults } from '../../protocols/words/phases.ts'
import { gasSpecies } from '../plant/flue-gas.ts'
import { cellSettings } from '../sampling/cell.ts'
import { writtenProfile } from './profile.ts'

/** What an instrument can write in a field. */
export const writable = [
  ...gasSpecies,
  'computed-CO2',
  'computed-NOx',
  'gas-temperature',
  'sample-flow',
  'cooler-outlet',
  'cell-temperature',
  'condensate-level',
  'load',
  'state',
  'faults',
  'plant',
] as const
export type Writable = (typeof writable)[number]

const seconds = z.number().min(0).max(86_400)

export const instrumentSettings = z.strictObject({
  stepSeconds: z.number().min(0.1).max(600).default(1).describe('A line every so many seconds.'),
  cells: z.array(cellSettings).min(1).max(8),
  carbonDioxideMaximum: z
    .number()
    .min(5)
    .max(21)
    .default(11.8)
    .describe('From which the instrument works CO2 out: CO2max · (20.95 − O2) / 20.95.'),
  cycle: z
    .strictObject({
      standbySeconds: seconds.default(60),
      measureSeconds: seconds.min(1),
      purgeSeconds: seconds,
      zeroSeconds: seconds,
    })
    .describe('After the start standby, purge, zero; then for ever measuring, purge, zero.'),
  room: z
    .strictObject({
      meanDegC: z.number(),
      swing: z.number().min(0).default(0),
      warmestHour: z.number().min(0).max(24).default(15),
    })
    .default({ meanDegC: 22, swing: 0, warmestHour: 15 })
    .describe('Temperature of the room over the day (UTC).'),
  selfHeating: z.number().min(0).default(5).describe('Kelvin by which the cells are warmer than the room.'),
  faultsWhen: z.strictObject({
    flowBelow: z.number().min(0),
    cloggedAbove: z.number().min(0).max(1).default(0.5),
    cellAboveDegC: z.number().default(50),
  }),
  countsWhile: z
    .strictObject({ sampleFlow: z.tuple([z.number(), z.number()]) })
    .describe('The sample flow, L/min, in which the truth counts readings.'),
  words: z
    .strictObject({
      measure: z.string(),
      purge: z.string(),
      zero: z.string(),
      standby: z.string(),
      noFault: z.string().default(''),
      faults: z.partialRecord(z.enum(instrumentFaults), z.string()).default({}),
      between: z.string().default(','),
      plant: z.partialRecord(z.enum(['running', 'start-up', 'shut-down', 'off']), z.string()).default({}),
    })
    .nullable()
    .default(null)
    .describe('Words of its own for the status; null: the lines tell nothing.'),
  banner: z.array(z.string().max(200)).max(20).default([]).describe('Lines after a start.'),
  lineEnd: z.enum(['cr', 'lf', 'crlf']).default('crlf'),
  profile: writtenProfile.describe('The form of the lines.'),
  template: z.string().max(2000).optional().describe('For the form `pattern`: the line, with {field} and {time}.'),
  writes: z
    .array(
      z.strictObject({ field: z.string().min(1), what: z.enum(writable), decimals: z.int().min(0).max(6).optional() }),
    )
    .min(1)
    .describe('What stands in which field of the profile; fields that are left out stay missing.'),
})
export type InstrumentSettings = z.infer<typeof instrumentSettings>
