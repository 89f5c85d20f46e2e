import { z } from 'zod'
import { averageRow } from './messages.ts'

/** A setting by its path, as `conversions.referenceOxygen`, and the value that is tried: JSON. */
export const settingChanges = z
  .record(z.string().min(1).max(200), z.json())
  .refine((set) => Object.keys(set).length >= 1 && Object.keys(set).length <= 50, 'takes 1 to 50 settings')

/** POST /api/recordings/:id/compare: the recording evaluated with other settings, block by block. Nothing stored changes. */
export const compareRequest = z.strictObject({
  set: settingChanges.describe('Path → value: {"conversions.referenceOxygen": 11, "averaging.blocks": ["PT1H"]}.'),
  channel: z.string().min(1).optional(),
  average: z.string().min(1).optional(),
  quantity: averageRow.shape.quantity.optional(),
  /** Only averages that differ. */
  onlyDifferent: z.boolean().default(false),
  from: z.int().min(0).default(0).describe('Rows are told from this one on.'),
  most: z.int().min(1).max(2000).default(500).describe('At most so many rows are told.'),
})
export type CompareRequest = z.infer<typeof compareRequest>

/** The parts of a station's settings that are offered to be tried; all others are there too. */
export const comparableSettings = z.looseObject({
  conversions: z.looseObject({ referenceOxygen: z.number().optional() }),
  averaging: z.looseObject({
    blocks: z.array(z.string()),
    validity: z.looseObject({ rule: z.string(), minimum: z.union([z.string(), z.number()]).optional() }),
  }),
  phases: z.looseObject({
    settle: z.looseObject({ timesT95: z.number().optional(), seconds: z.number().optional() }),
  }),
  limits: z.array(
    z.looseObject({ id: z.string().optional(), channel: z.string(), value: z.number(), unit: z.string() }),
  ),
})
export type ComparableSettings = z.infer<typeof comparableSettings>
/** GET /api/recordings/:id/settings: what the recording was made with. */
export const settingsAnswer = z.strictObject({ settings: comparableSettings })

const side = averageRow.pick({
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
  present: side.nullable(),
  tried: side.nullable(),
  /** tried − present; null where one is missing. */
  difference: z.number().nullable(),
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
