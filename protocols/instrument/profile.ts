import { z } from 'zod'
import { instrumentFaults, toldPhases } from '../words/phases.ts'
import { origins } from '../words/quantities.ts'
import { units } from '../words/units.ts'

/** A field of the line: where it stands (by form) and what the profile knows of it. */
const field = z.strictObject({
  name: z.string().min(1).max(60).describe('The name by which the station file asks for this field.'),
  at: z
    .union([
      z
        .int()
        .min(0)
        .describe('delimited: the position, counted from 0; key-value: the position among the parts without a name'),
      z
        .string()
        .min(1)
        .max(200)
        .describe(
          'delimited with a header: the column’s heading; key-value: the key; json-lines: the path, `gas.o2`; pattern: the group’s name',
        ),
      z
        .strictObject({ from: z.int().min(0), length: z.int().min(1).max(4096) })
        .describe('fixed-width: first column, counted from 0, and width in bytes'),
    ])
    .describe('Where the field stands in the line.'),
  unit: z
    .enum(units)
    .optional()
    .describe('The unit in which the instrument writes this field; proposed to the station file.'),
  unitSuffix: z.string().min(1).max(12).optional().describe('Text after the number that is cut off, as in `112ppm`.'),
  origin: z
    .enum(origins)
    .default('measured')
    .describe(
      '`computed` where the instrument works the value out from others (CO₂ from O₂, NOx from NO, mg/m³, referenced values).',
    ),
  selfZeroing: z
    .boolean()
    .default(false)
    .describe(
      'The instrument zeroes this cell by itself: drift cannot be observed, and no purge zero is subtracted again.',
    ),
  diluted: z
    .boolean()
    .default(true)
    .describe('`false` where this cell sees the sample as it is, in an instrument that dilutes it for others.'),
  missing: z
    .array(z.string())
    .optional()
    .describe('Tokens for “no value” in this field only; added to those of the profile.'),
})

const timeField = z.strictObject({
  fields: z
    .array(
      z.union([z.int().min(0), z.string().min(1), z.strictObject({ from: z.int().min(0), length: z.int().min(1) })]),
    )
    .min(1)
    .max(2)
    .describe('Where the time stands: one field, or date and time of day in two (joined by one blank).'),
  format: z
    .string()
    .min(1)
    .max(60)
    .describe(
      "`iso`, `epoch-s`, `epoch-ms`, or letters: yyyy MM dd HH mm ss SSS (decimals of the second, as many as there are), yy for 20yy, d M H m s without leading zero, hh or h with a for AM and PM, quoted text in '…'. Without a date the time rolls over at midnight.",
    ),
  zone: z
    .string()
    .default('station')
    .describe(
      '`UTC`, `station` (the station’s zone), a named zone, or an offset as `+01:00`. A time that carries its own offset needs none.',
    ),
})

const statusRule = z.strictObject({
  field: z
    .string()
    .optional()
    .describe(
      'The name of the field that holds the token; without it the whole line is searched (for lines that are nothing but a status).',
    ),
  tokens: z
    .record(
      z.string().min(1),
      z.strictObject({
        phase: z.enum(toldPhases).optional(),
        fault: z.enum(instrumentFaults).optional(),
        clears: z.boolean().optional().describe('This token says that no fault of this rule stands any more.'),
        plant: z.enum(['running', 'start-up', 'shut-down', 'off']).optional(),
      }),
    )
    .describe('Token → what it tells. A token that stands in no rule is kept and counted as `unknown_status`.'),
  separator: z.string().max(3).optional().describe('Splits a field that holds several tokens.'),
})

const common = {
  name: z.string().min(1).max(80),
  encoding: z.enum(['utf-8', 'latin-1', 'windows-1252']).default('utf-8'),
  decimal: z.enum(['.', ',']).default('.'),
  comment: z
    .array(z.string().min(1))
    .default([])
    .describe('Lines that begin with one of these are comments: kept, counted, not read.'),
  skipLines: z
    .int()
    .min(0)
    .max(100)
    .default(0)
    .describe('Rows before the data at the start of a file (titles, units).'),
  time: timeField.optional().describe('Without it the time of arrival is the only time.'),
  fields: z.array(field).min(1).max(200),
  missing: z
    .array(z.string())
    .default(['', '-', '--', '---', '----'])
    .describe(
      'Tokens for “no value”. An empty field always is one; a token that is a number is compared by value, as `-200` with `-200,0`.',
    ),
  over: z.array(z.string()).default([]).describe('Tokens for “over range”.'),
  under: z.array(z.string()).default([]).describe('Tokens for “under range”.'),
  status: z.array(statusRule).default([]),
  dilution: z
    .strictObject({
      state: z.enum(['none', 'in-the-values', 'not-in-the-values']).default('none'),
      field: z
        .string()
        .optional()
        .describe('The field that tells the factor; kept per reading, its change is an event.'),
    })
    .prefault({}),
  checksum: z
    .strictObject({
      kind: z.enum(['xor8-hex', 'sum8-hex', 'crc16-modbus-hex']),
      start: z.string().max(4).default('').describe('The sum begins after this text.'),
      marker: z
        .string()
        .min(1)
        .max(4)
        .default('*')
        .describe('The sum ends before this text; the hexadecimal digits follow it.'),
      required: z.boolean().default(true),
    })
    .optional(),
}

export const delimitedProfile = z.strictObject({
  form: z.literal('delimited'),
  ...common,
  delimiter: z
    .string()
    .min(1)
    .max(3)
    .default(';')
    .describe('`\\t` for a tabulator; one blank means any run of blanks.'),
  quote: z.string().max(1).default('"').describe('Empty: no quoting.'),
  header: z
    .boolean()
    .default(false)
    .describe(
      'The first line (after `skipLines`) holds the columns’ headings; a repeated header is recognised and skipped.',
    ),
  unitsRow: z.boolean().default(false).describe('A row of units follows the header.'),
  columns: z
    .enum(['at-least', 'exactly'])
    .default('at-least')
    .describe(
      '`exactly`: a line with another number of columns than the header or the first sound line is refused; empty columns at the end are none too many. A line with fewer than the profile needs is always refused.',
    ),
})
export const keyValueProfile = z.strictObject({
  form: z.literal('key-value'),
  ...common,
  between: z.string().min(1).max(3).default(';'),
  equals: z.string().min(1).max(3).default('='),
  bare: z
    .enum(['refused', 'ignored'])
    .default('ignored')
    .describe('What happens with a part that is not `name=value` (a leading time stamp, a word).'),
})
export const fixedWidthProfile = z.strictObject({ form: z.literal('fixed-width'), ...common })
export const jsonLinesProfile = z.strictObject({ form: z.literal('json-lines'), ...common })
export const patternProfile = z.strictObject({
  form: z.literal('pattern'),
  ...common,
  pattern: z
    .string()
    .min(1)
    .max(2000)
    .describe(
      'A regular expression with named groups, `(?P<o2>…)` or `(?<o2>…)`, held against the whole line by a linear-time engine.',
    ),
})

/** A line profile: a union over the forms. `compileProfile` makes a reader of it. */
export const lineProfile = z.discriminatedUnion('form', [
  delimitedProfile,
  keyValueProfile,
  fixedWidthProfile,
  jsonLinesProfile,
  patternProfile,
])
export type LineProfile = z.infer<typeof lineProfile>
export type ProfileField = z.infer<typeof field>
