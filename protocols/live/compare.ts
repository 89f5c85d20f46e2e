import { z } from 'zod/mini'
import { averageRow } from './messages.ts'

/** A setting by its path, as `conversions.referenceOxygen`, and the value that is tried: JSON. */
export const settingChanges = z
  .record(z.string().check(z.minLength(1), z.maxLength(200)), z.json())
  .check(z.refine((set) => Object.keys(set).length >= 1 && Object.keys(set).length <= 50, 'takes 1 to 50 settings'))

/** POST /api/recordings/:id/compare: the recording evaluated with other settings, block by block. Nothing stored changes. */
export const compareRequest = z.strictObject({
  set: settingChanges.check(
    z.describe('Path → value: {"conversions.referenceOxygen": 11, "averaging.blocks": ["PT1H"]}.'),
  ),
  channel: z.optional(z.string().check(z.minLength(1))),
  average: z.optional(z.string().check(z.minLength(1))),
  quantity: z.optional(averageRow.shape.quantity),
  /** Only averages that differ. */
  onlyDifferent: z._default(z.boolean(), false),
  from: z._default(z.int().check(z.minimum(0)), 0).check(z.describe('Rows are told from this one on.')),
  most: z
    ._default(z.int().check(z.minimum(1), z.maximum(2000)), 500)
    .check(z.describe('At most so many rows are told.')),
})
export type CompareRequest = z.infer<typeof compareRequest>

/** The parts of a station's settings that are offered to be tried; all others are there too. */
export const comparableSettings = z.looseObject({
  conversions: z.looseObject({ referenceOxygen: z.optional(z.number()) }),
  averaging: z.looseObject({
    blocks: z.array(z.string()),
    validity: z.looseObject({ rule: z.string(), minimum: z.optional(z.union([z.string(), z.number()])) }),
  }),
  phases: z.looseObject({
    settle: z.looseObject({ timesT95: z.optional(z.number()), seconds: z.optional(z.number()) }),
  }),
  limits: z.array(
    z.looseObject({
      id: z.optional(z.string()),
      channel: z.string(),
      value: z.number(),
      unit: z.string(),
      average: z.optional(z.string()),
    }),
  ),
})
export type ComparableSettings = z.infer<typeof comparableSettings>
/** GET /api/recordings/:id/settings: what the recording was made with. */
export const settingsAnswer = z.strictObject({
  settings: comparableSettings,
  /** Channel → its name for people. */
  names: z.record(z.string(), z.string()),
})
export type SettingsAnswer = z.infer<typeof settingsAnswer>

const side = z.pick(averageRow, {
  mean: true,
  referenceOxygen: true,
  conditions: true,
  count: true,
  countedMs: true,
  coverage: true,
  valid: true,
  reasons: true,
  uncertainty: true,
  verdicts: true,
})

export const comparedRow = z.strictObject({
  channel: z.string(),
  quantity: averageRow.shape.quantity,
  unit: averageRow.shape.unit,
  average: averageRow.shape.average,
  startMs: z.number(),
  endMs: z.number(),
  /** With the settings of the recording, and with those tried; null: they form no such average. */
  present: z.nullable(side),
  tried: z.nullable(side),
  /** tried − present; null where one is missing. */
  difference: z.nullable(z.number()),
  /** Whether mean, validity, reasons, uncertainty or a verdict differ. */
  differs: z.boolean(),
})
export type ComparedRow = z.infer<typeof comparedRow>

export const compareAnswer = z.strictObject({
  ok: z.literal(true),
  /** Nothing that is compared is stored. */
  stored: z.literal(false),
  engine: z.string(),
  changes: z.array(z.strictObject({ path: z.string(), from: z.json(), to: z.json() })),
  /** What follows from the changes, or must be said of them. */
  notes: z.array(z.string()),
  counts: z.strictObject({
    compared: z.int(),
    different: z.int(),
    becameInvalid: z.int(),
    becameValid: z.int(),
    onlyPresent: z.int(),
    onlyTried: z.int(),
  }),
  /** How many rows there are by what was asked; `rows` holds a page of them. */
  rowsInAll: z.int(),
  rows: z.array(comparedRow),
})
export type CompareAnswer = z.infer<typeof compareAnswer>
