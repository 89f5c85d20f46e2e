import { z } from 'zod/mini'

const text = z.string()
const numbers = z.array(z.number())
const outcome = z.union([z.number(), numbers, text])

const calculationInput = z.strictObject({
  name: text,
  kind: z.enum(['number', 'list', 'rows', 'choice', 'choices']),
  meaning: text,
  units: z.array(text).check(z.describe('Its own first: a number without a unit is in that one. Empty for words.')),
  open: z
    .boolean()
    .check(z.describe('All such inputs of a calculation stand as shares of the volume, or all as masses.')),
  low: z.nullable(z.number()),
  high: z.nullable(z.number()),
  fewest: z.int(),
  most: z.int(),
  options: z.array(text).check(z.describe('Words to choose from; empty for numbers.')),
  otherwise: z
    .nullable(z.union([z.number(), text]))
    .check(z.describe('What stands in where it is left out; null: it must be given.')),
})
export type CalculationInput = z.infer<typeof calculationInput>

const calculation = z.strictObject({
  name: text,
  family: text,
  purpose: text,
  inputs: z.array(calculationInput),
  result: z.strictObject({ name: text, units: z.array(text) }),
  formula: text,
  valid: text.check(z.describe('Where it holds, in words.')),
  source: text,
  status: z.enum(['published', 'common practice', 'from memory']),
  checks: z.array(text).check(z.describe('Ids of the published or worked checks that it is held against.')),
  caution: text,
  example: z.strictObject({ inputs: z.record(text, text), value: outcome, unit: text, note: text }),
})
export type CalculationInfo = z.infer<typeof calculation>

/** GET /api/calculations */
export const calculationsAnswer = z.strictObject({ calculations: z.array(calculation) })

/** POST /api/calculations/:name: each input as text with its unit, `"5.2 vol%"`, or as a number in its own unit. */
export const calculationRequest = z.strictObject({
  inputs: z.record(text.check(z.maxLength(60)), z.union([text.check(z.maxLength(4000)), z.number()])),
  unit: z
    ._default(z.nullable(text.check(z.maxLength(40))), null)
    .check(z.describe('Unit of the result; null: its own.')),
})
export type CalculationRequest = z.input<typeof calculationRequest>

export const calculationAnswer = z.strictObject({
  ok: z.literal(true),
  value: outcome,
  unit: text,
  inputs: z
    .array(
      z.strictObject({
        name: text,
        value: z.union([z.number(), numbers, z.array(numbers), text, z.array(text)]),
        unit: text,
        given: z.boolean(),
      }),
    )
    .check(z.describe('As they went in, in their own units.')),
})
export type CalculationAnswer = z.infer<typeof calculationAnswer>
