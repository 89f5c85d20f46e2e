import { z } from 'zod'
import { faultWords, instrumentFaults, phaseWords, plantStateWords, toldPhases } from '../words/phases.ts'
import { originNames, origins } from '../words/quantities.ts'
import { units, unitWords } from '../words/units.ts'
import { choice, choiceOf } from './choice.ts'

/** The forms of lines in words. */
export const formWords = {
  delimited: 'columns with a delimiter',
  'key-value': 'names with values',
  'fixed-width': 'columns of fixed width',
  'json-lines': 'JSON, an object in each line',
  pattern: 'a pattern (regular expression)',
} as const

/** A field of the line: where it stands (by form) and what the profile knows of it. */
const field = z.strictObject({
  name: z.string().min(1).max(60).describe('The name by which the station file asks for this field.'),
  at: z
    .union([
      z
        .int()
        .min(0)
        .meta({ title: 'by its position' })
        .describe('In columns: the position, counted from 0; among names with values: that of a part without a name.'),
      z
        .string()
        .min(1)
        .max(200)
        .meta({ title: 'by its name' })
        .describe(
          'In columns with a header: the heading; among names with values: the name; in JSON: the path, `gas.o2`; in a pattern: the group’s name.',
        ),
      z
        .strictObject({ from: z.int().min(0), length: z.int().min(1).max(4096) })
        .meta({ title: 'by first column and width' })
        .describe('In columns of fixed width: the first column, counted from 0, and the width in bytes.'),
    ])
    .describe('Where the field stands in the line.')
    .meta({ title: 'Where it stands' }),
  unit: choiceOf(units, unitWords)
    .optional()
    .describe('The unit in which the instrument writes this field; proposed to the station file.'),
  unitSuffix: z.string().min(1).max(12).optional().describe('Text after the number that is cut off, as in `112ppm`.'),
  origin: choiceOf(origins, originNames)
    .default('measured')
    .describe(
      'Computed where the instrument works the value out from others (CO₂ from O₂, NOx from NO, mg/m³, referenced values).',
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
      z.string().min(1).meta({ title: 'Word of the instrument' }),
      z.strictObject({
        phase: choiceOf(toldPhases, phaseWords).optional(),
        fault: choiceOf(instrumentFaults, faultWords).optional(),
        clears: z.boolean().optional().describe('This token says that no fault of this rule stands any more.'),
        plant: choiceOf(['running', 'start-up', 'shut-down', 'off'], plantStateWords).optional(),
      }),
    )
    .describe('Token → what it tells. A token that stands in no rule is kept and counted as `unknown_status`.'),
  separator: z.string().max(3).optional().describe('Splits a field that holds several tokens.'),
})

const common = {
  name: z.string().min(1).max(80),
  encoding: choice({ 'utf-8': 'UTF-8', 'latin-1': 'Latin-1', 'windows-1252': 'Windows-1252' }).default('utf-8'),
  decimal: choice({ '.': 'point', ',': 'comma' }).default('.').meta({ title: 'Decimal mark' }),
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
  fields: z
    .array(field.meta({ title: 'Field' }))
    .min(1)
    .max(200),
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
      state: choice({
        none: 'it is not diluted',
        'in-the-values': 'diluted, in the values',
        'not-in-the-values': 'diluted, not in the values',
      })
        .default('none')
        .meta({ title: 'The sample' }),
      field: z
        .string()
        .optional()
        .describe('The field that tells the factor; kept per reading, its change is an event.'),
    })
    .prefault({}),
  checksum: z
    .strictObject({
      kind: choice({ 'xor8-hex': 'XOR, 8 bits', 'sum8-hex': 'sum, 8 bits', 'crc16-modbus-hex': 'CRC-16, Modbus' }),
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
  form: z.literal('delimited').meta({ title: formWords.delimited }).describe('How a line is made.'),
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
  columns: choice({ 'at-least': 'may be more', exactly: 'are always as many' })
    .default('at-least')
    .describe(
      'With `exactly` a line with another number of columns than the header or the first sound line is refused; empty columns at the end are none too many. A line with fewer than the profile needs is always refused.',
    ),
})
export const keyValueProfile = z.strictObject({
  form: z.literal('key-value').meta({ title: formWords['key-value'] }),
  ...common,
  between: z.string().min(1).max(3).default(';'),
  equals: z.string().min(1).max(3).default('='),
  bare: choice({ refused: 'the line is refused', ignored: 'it is left out' })
    .default('ignored')
    .describe('What happens with a part that is not `name=value` (a leading time stamp, a word).'),
})
export const fixedWidthProfile = z.strictObject({
  form: z.literal('fixed-width').meta({ title: formWords['fixed-width'] }),
  ...common,
})
export const jsonLinesProfile = z.strictObject({
  form: z.literal('json-lines').meta({ title: formWords['json-lines'] }),
  ...common,
})
export const patternProfile = z.strictObject({
  form: z.literal('pattern').meta({ title: formWords.pattern }),
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
