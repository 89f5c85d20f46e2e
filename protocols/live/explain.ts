import { z } from 'zod/mini'
import { phases, plantStates } from '../words/phases.ts'
import { averageRow, toldExclusion } from './messages.ts'

const nullable = z.nullable(z.number())
const ms = z.number()

/** One step of a calculation: what goes in, the formula in words, what comes out, where the formula is from. */
export const calculationStep = z.strictObject({
  step: z.string(),
  formula: z.string(),
  inputs: z.readonly(z.array(z.strictObject({ name: z.string(), value: nullable, unit: z.string() }))),
  result: nullable,
  unit: z.string(),
  source: z.nullable(z.string()),
})
export type CalculationStep = z.infer<typeof calculationStep>

/** A channel that the average rests on, and how its value stands in a line. */
export const explainedChannel = z.strictObject({
  id: z.string(),
  stream: z.string(),
  unit: z.string(),
  species: z.nullable(z.string()),
  basis: z.nullable(z.string()),
  /** The field of the line profile; null for a sum. */
  field: z.nullable(
    z.strictObject({
      name: z.string(),
      /** Column (from 0), key or name by which the profile finds it, as in the settings. */
      at: z.union([z.string(), z.number(), z.strictObject({ from: z.number(), length: z.number() })]),
      form: z.string(),
      delimiter: z.nullable(z.string()),
      decimal: z.string(),
    }),
  ),
  /** Members of a sum with what turns each into the sum's unit; empty for what is read from lines. */
  sumOf: z.readonly(z.array(z.strictObject({ channel: z.string(), factor: z.number() }))),
  /** A reading outside is out of range; null: no bound. */
  lowest: nullable,
  highest: nullable,
  needs: z.readonly(z.array(z.strictObject({ channel: z.string(), between: z.tuple([z.number(), z.number()]) }))),
  /** How long after a purge it waits before it counts. */
  waitMs: ms,
  /** Where the cell answers to other gases: its row of the matrix S of sensitivities, own gas included; empty where it does not. */
  answersTo: z.readonly(z.array(z.strictObject({ channel: z.string(), factor: z.number() }))),
  /** Its row of the inverse of S: corrected = sum of factor · that channel's value `alone`; empty where nothing is solved. */
  solvedFrom: z.readonly(z.array(z.strictObject({ channel: z.string(), factor: z.number() }))),
})

/** A check as it was told: a gas, what it holds, what the channel showed. */
export const explainedCheck = z.strictObject({
  id: z.string(),
  kind: z.enum(['zero', 'span']),
  performedMs: ms,
  expected: z.number(),
  response: z.number(),
  gas: z.string(),
  by: z.nullable(z.string()),
})
export type ExplainedCheck = z.infer<typeof explainedCheck>

/** How the zero of a channel went over a stretch of the average. */
export const zeroCourse = z.strictObject({
  channel: z.string(),
  fromMs: ms,
  toMs: ms,
  /** `atMs` of the zeros before and after; null: none is known. */
  zeroOf: ms,
  zeroTo: z.nullable(ms),
  /** `line`: on the line between the two. `too small`: it moved too little to be corrected. `held`: the last one, none followed. */
  how: z.enum(['line', 'too small', 'held']),
})
export type ZeroCourse = z.infer<typeof zeroCourse>

/** Where span factors come from checks: 1 / sensitivity, which lies on the line between the checks, at each minute's start. */
export const explainedSpan = z.strictObject({
  channel: z.string(),
  points: z.readonly(
    z.array(
      z.strictObject({
        check: explainedCheck,
        /** The zero check nearest in time, whose offset is taken off; null where there is none. */
        zero: z.nullable(explainedCheck),
        /** (response − (zero's response − zero's gas)) / gas. */
        sensitivity: z.number(),
      }),
    ),
  ),
})
export type ExplainedSpan = z.infer<typeof explainedSpan>

export const explainedZero = z.strictObject({
  channel: z.string(),
  /** End of the purge or zero that gave it, or the check's time. */
  atMs: ms,
  /** The middle of its readings: where it stands on the line between two zeros. */
  middleMs: ms,
  mean: z.number(),
  standardDeviation: nullable,
  /** The mean is the plain mean of the readings, those beyond these bounds taken as the bound; null: none can lie beyond. */
  bounds: z.nullable(z.strictObject({ low: z.number(), high: z.number() })),
  /** null: of a purge or zero. */
  check: z.nullable(explainedCheck),
  /** Its settled readings: numbers of their lines in the recording, with the values. */
  readings: z.readonly(z.array(z.strictObject({ sequence: z.int(), value: z.number(), line: z.string() }))),
})

export const explainedReading = z.strictObject({
  /** Number of its line in the recording. */
  sequence: z.int(),
  stream: z.string(),
  /** The line as it came, without its end; what is no text is shown as U+FFFD. */
  line: z.string(),
  atMs: ms,
  /** End of what it represents, cut at phase edges. */
  untilMs: ms,
  phase: z.enum(phases),
  plant: z.enum(plantStates),
  /** Whether it is in the average; otherwise `why` says why not. */
  counts: z.boolean(),
  why: z.nullable(z.string()),
  /** What it weighs in the average: the part of its time that lies in the block, by minutes. Values: one per lane. */
  parts: z.readonly(z.array(z.strictObject({ fromMs: ms, toMs: ms, values: z.readonly(z.array(z.number())) }))),
  values: z.record(
    z.string(),
    z.strictObject({
      asRead: nullable,
      zero: nullable,
      /** `atMs` of the zero in use; null: none is subtracted. */
      zeroOf: nullable,
      /** `atMs` of the zero after it; null: not interpolated, or none is known. */
      zeroTo: nullable,
      spanFactor: z.number(),
      dilution: z.number(),
      /** After zero, span and dilution; null for a sum. */
      alone: nullable,
      /** Solved from the channels that its cell answers to, else as `alone`; a sum of its corrected members. */
      corrected: nullable,
      flag: z.string(),
    }),
  ),
})
export type ExplainedReading = z.infer<typeof explainedReading>

export const explainedMinute = z.strictObject({
  startMs: ms,
  countedMs: ms,
  readings: z.int(),
  /** Sum of value · ms, one per lane. */
  integrals: z.readonly(z.array(z.number())),
  /** Numbers of the first and the last line that went in. */
  firstSequence: z.nullable(z.int()),
  lastSequence: z.nullable(z.int()),
})

/** A stretch of the block in one phase, or excluded: what did not count, and why. */
export const explainedStretch = z.strictObject({
  fromMs: ms,
  toMs: ms,
  what: z.string(),
  counts: z.boolean(),
  readings: z.int(),
  reason: z.nullable(z.string()),
})

/** GET /api/recordings/:id/explain: one average down to its raw lines. */
export const explainAnswer = z.strictObject({
  /** The engine that recomputed it. */
  engine: z.string(),
  recording: z.strictObject({
    run: z.string(),
    station: z.string(),
    invented: z.boolean(),
    engine: z.string(),
    head: z.nullable(z.string()),
  }),
  kind: z.enum(['block', 'rolling']),
  row: averageRow,
  /** As it lies in the recording; null where it is not stored (the block is still open, or was never formed). */
  stored: z.nullable(averageRow),
  /** Whether the average is valid, by which rule, in words. */
  validity: z.strictObject({ rule: z.string(), valid: z.boolean() }),
  /** Whether stored and recomputed are the same. */
  agrees: z.boolean(),
  difference: z.nullable(z.string()),
  channels: z.readonly(z.array(explainedChannel)),
  /** What is summed: a channel as read, corrected, or converted reading by reading; the order of `values` and `integrals`. */
  lanes: z.readonly(z.array(z.strictObject({ channel: z.string(), from: z.enum(['raw', 'corrected', 'converted']) }))),
  /** Channels whose readings only count together. */
  together: z.readonly(z.array(z.string())),
  /** How a reading is corrected. */
  correction: z.strictObject({ formula: z.string(), source: z.nullable(z.string()) }),
  zeros: z.readonly(z.array(explainedZero)),
  zeroCourses: z.readonly(z.array(zeroCourse)),
  spans: z.readonly(z.array(explainedSpan)),
  /** The blocks that an average of blocks is formed of, those left out too; null where readings are averaged. */
  blocks: z.nullable(z.readonly(z.array(averageRow))),
  stretches: z.readonly(z.array(explainedStretch)),
  exclusions: z.readonly(z.array(toldExclusion)),
  /** What the average was before it was changed, oldest first. */
  history: z.readonly(
    z.array(
      z.strictObject({
        replacedMs: ms,
        by: z.nullable(z.string()),
        reason: z.string(),
        mean: nullable,
        valid: z.boolean(),
      }),
    ),
  ),
  minutes: z.readonly(z.array(explainedMinute)),
  /** Minute means joined across streams, in the order of `together`; null where one stream is enough. */
  joined: z.nullable(
    z.readonly(z.array(z.strictObject({ startMs: ms, countedMs: ms, means: z.readonly(z.array(z.number())) }))),
  ),
  sums: z.strictObject({
    countedMs: ms,
    integrals: z.readonly(z.array(z.number())),
    means: z.readonly(z.array(nullable)),
    count: z.int(),
    denominatorMs: ms,
  }),
  /** Mean, conversions, coverage and validity, in order. */
  steps: z.readonly(z.array(calculationStep)),
  /** Standard uncertainties that make up U, ranked; empty where none is known. */
  uncertainty: z.readonly(
    z.array(z.strictObject({ name: z.string(), standard: z.number(), share: nullable, detail: z.string() })),
  ),
  limits: z.readonly(
    z.array(z.strictObject({ limit: z.string(), value: z.number(), unit: z.string(), verdict: z.string() })),
  ),
  /** How many readings lie in the block; `readings` may hold a part of them. */
  readingsInAll: z.int(),
  readingsFrom: z.int(),
  readings: z.readonly(z.array(explainedReading)),
})
export type ExplainAnswer = z.infer<typeof explainAnswer>
