import { z } from 'zod/mini'
import { averageRow, toldExclusion } from './messages.ts'
import { by, checked, note } from './requests.ts'

/**
 * POST /api/recordings/:id/amend: what is said of a run, while it goes on or afterwards. It is recorded and sealed like any
 * input, and the averages that it changes are formed anew; the old ones stay in a history.
 */
export const amendRequest = z.discriminatedUnion('do', [
  z.strictObject({
    do: z.literal('exclude'),
    by,
    fromMs: z.number().check(z.describe('The stretch [fromMs, toMs) by the times of the readings, ms since 1970 UTC.')),
    toMs: z.number(),
    stream: z._default(z.nullable(z.string()), null).check(z.describe('null: all streams.')),
    channel: z._default(z.nullable(z.string()), null).check(z.describe('null: all channels.')),
    reason: note.check(z.minLength(1, 'an exclusion takes a reason: the report says why')),
  }),
  z.strictObject({
    do: z.literal('check'),
    by,
    ...checked,
    performedMs: z
      .number()
      .check(
        z.describe(
          'When the response was read off, ms since 1970 UTC, by the times of the readings; before the run, in it or after it.',
        ),
      ),
  }),
  z.strictObject({
    do: z.literal('withdraw'),
    by,
    id: z.string().check(z.minLength(1), z.describe('Of the exclusion or check that is taken back.')),
    reason: note.check(z.minLength(1, 'taking back takes a reason')),
  }),
])
export type AmendRequest = z.infer<typeof amendRequest>
export const amendAnswer = z.strictObject({
  ok: z.boolean(),
  errors: z._default(z.array(z.string()), []),
  /** Of the exclusion or check; null where nothing was amended. */
  id: z.nullable(z.string()),
  /** How many averages changed; null while a run goes on: they follow. */
  changed: z.nullable(z.int()),
})
export type AmendAnswer = z.infer<typeof amendAnswer>

/** Who took an amendment back, when and why; null: it is in force. */
const withdrawn = z.nullable(z.strictObject({ by: z.string(), toldMs: z.number(), reason: z.string() }))

/** A stretch taken out of the averages, and whether that still holds. */
export const amendingExclusion = z.extend(toldExclusion, { withdrawn })
export type AmendingExclusion = z.infer<typeof amendingExclusion>

/** A gas that was given to the instrument and what it showed, in the channel's unit, and whether that still holds. */
export const amendingCheck = z.strictObject({
  id: z.string(),
  kind: z.enum(['zero', 'span']),
  channel: z.string(),
  performedMs: z.number(),
  expected: z.number(),
  response: z.number(),
  direct: z.nullable(z.number()),
  gas: z.string(),
  by: z.string(),
  toldMs: z.number(),
  withdrawn,
})
export type AmendingCheck = z.infer<typeof amendingCheck>

/** GET /api/recordings/:id/amendments: all that was said of the run, taken back or not, and the newest of the averages that it changed. */
export const amendmentsAnswer = z.strictObject({
  exclusions: z.array(amendingExclusion),
  checks: z.array(amendingCheck),
  changesInAll: z.int(),
  changes: z.array(
    z.strictObject({
      kind: z.enum(['block', 'rolling']),
      replacedMs: z.number(),
      by: z.nullable(z.string()),
      reason: z.string(),
      old: averageRow,
      new: z.nullable(averageRow),
    }),
  ),
})
export type AmendmentsAnswer = z.infer<typeof amendmentsAnswer>
