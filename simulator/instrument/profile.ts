import { z } from 'zod'
import type { LineProfile } from '../../protocols/instrument/profile.ts'
import { instrumentFaults, toldPhases } from '../../protocols/words/phases.ts'
import { origins } from '../../protocols/words/quantities.ts'
import { units } from '../../protocols/words/units.ts'

// The line profile as the simulator reads it: a check of its own, held to the shared type by the compiler alone.
// A witness that borrowed the reader's schema would share its mistakes.

const place = z.union([
  z.int().min(0),
  z.string().min(1),
  z.strictObject({ from: z.int().min(0), length: z.int().min(1) }),
])
const field = z.strictObject({
  name: z.string().min(1),
  at: place,
  unit: z.enum(units).optional(),
  unitSuffix: z.string().min(1).optional(),
  origin: z.enum(origins).default('measured'),
  selfZeroing: z.boolean().default(false),
  diluted: z.boolean().default(true),
  missing: z.array(z.string()).optional(),
})
const statusRule = z.strictObject({
  field: z.string().optional(),
  separator: z.string().optional(),
  tokens: z.record(
    z.string().min(1),
    z.strictObject({
      phase: z.enum(toldPhases).optional(),
      fault: z.enum(instrumentFaults).optional(),
      clears: z.boolean().optional(),
      plant: z.enum(['running', 'start-up', 'shut-down', 'off']).optional(),
    }),
  ),
})
const shared = {
  name: z.string().min(1),
  encoding: z.enum(['utf-8', 'latin-1', 'windows-1252']).default('utf-8'),
  decimal: z.enum(['.', ',']).default('.'),
  comment: z.array(z.string().min(1)).default([]),
  skipLines: z.int().min(0).default(0),
  time: z
    .strictObject({
      fields: z.array(place).min(1).max(2),
      format: z.string().min(1),
      zone: z.string().default('station'),
    })
    .optional(),
  fields: z.array(field).min(1),
  missing: z.array(z.string()).default(['', '-', '--', '---', '----']),
  over: z.array(z.string()).default([]),
  under: z.array(z.string()).default([]),
  status: z.array(statusRule).default([]),
  dilution: z
    .strictObject({
      state: z.enum(['none', 'in-the-values', 'not-in-the-values']).default('none'),
      field: z.string().optional(),
    })
    .prefault({}),
  checksum: z
    .strictObject({
      kind: z.enum(['xor8-hex', 'sum8-hex', 'crc16-modbus-hex']),
      start: z.string().default(''),
      marker: z.string().min(1).default('*'),
      required: z.boolean().default(true),
    })
    .optional(),
}

/** The form of the lines that an instrument writes; the same keys as in a station file. */
export const writtenProfile = z.discriminatedUnion('form', [
  z.strictObject({
    form: z.literal('delimited'),
    ...shared,
    delimiter: z.string().min(1).default(';'),
    quote: z.string().max(1).default('"'),
    header: z.boolean().default(false),
    unitsRow: z.boolean().default(false),
    columns: z.enum(['at-least', 'exactly']).default('at-least'),
  }),
  z.strictObject({
    form: z.literal('key-value'),
    ...shared,
    between: z.string().min(1).default(';'),
    equals: z.string().min(1).default('='),
    bare: z.enum(['refused', 'ignored']).default('ignored'),
  }),
  z.strictObject({ form: z.literal('fixed-width'), ...shared }),
  z.strictObject({ form: z.literal('json-lines'), ...shared }),
  z.strictObject({ form: z.literal('pattern'), ...shared, pattern: z.string().min(1) }),
]) satisfies z.ZodType<LineProfile>
