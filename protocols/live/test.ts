import { z } from 'zod/mini'
import { averageRow, channelInfo, limitInfo, statedResults } from './messages.ts'

const nullable = z.nullable(z.number()) // null: no value; never 0, never NaN

/** What a test of several runs gives for one value: the mean of the run means, however long each run was. */
export const testRow = z.strictObject({
  ...z.pick(averageRow, {
    stream: true,
    channel: true,
    species: true,
    quantity: true,
    unit: true,
    basis: true,
    referenceOxygen: true,
    conditions: true,
    mean: true,
    /** Whether every run is valid by its own rule. */
    valid: true,
    detection: true,
    uncertainty: true,
    /** Against the limits of a run's average; none where a run is invalid. */
    verdicts: true,
  }).shape,
  /** How the run means lie; null where a run has none. */
  spread: z.nullable(z.strictObject({ minimum: z.number(), maximum: z.number(), standardDeviation: nullable })),
  /** In the order of the answer's `runs`. */
  runs: z.array(z.pick(averageRow, { mean: true, valid: true, countedMs: true, uncertainty: true, reasons: true })),
})
export type TestRow = z.infer<typeof testRow>

/** GET /api/tests?runs=run-1,run-2,run-3 */
export const testAnswer = z.strictObject({
  runs: z.array(
    z.strictObject({
      recording: z.string(),
      name: z.string(),
      startMs: z.number(),
      endMs: z.number(),
      invented: z.boolean(),
    }),
  ),
  /** Of the first run, by whose rules and limits the test is judged. */
  channels: z.array(channelInfo),
  limits: z.array(limitInfo),
  results: statedResults,
  rows: z.array(testRow),
  /** What must be known to read the rows: values that not all runs have, settings that differ. */
  notes: z.array(z.string()),
})
export type TestAnswer = z.infer<typeof testAnswer>
