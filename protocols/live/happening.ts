import { z } from 'zod/mini'
import { alarmClasses, alarmInputs } from '../words/alarms.ts'
import { instrumentFaults, plantStates, toldPhases } from '../words/phases.ts'

const nullable = z.nullable(z.number())

/** What a logbook's entry is about, in parts, so that a screen can put it into words with names, units and the station's own times. */
export const happening = z.discriminatedUnion('what', [
  z.strictObject({
    what: z.literal('run'),
    change: z.enum(['start', 'suspend', 'resume', 'end']),
    /** `operator`, `end-rule`, `orderly-stop`, `killed` … */
    reason: z.string(),
  }),
  z.strictObject({
    what: z.literal('clock'),
    change: z.enum(['step', 'sleep', 'speed']),
    byMs: z.number(),
    speed: z.number(),
  }),
  z.strictObject({
    what: z.literal('link'),
    state: z.enum(['open', 'lost', 'silent', 'refused', 'ended']),
    detail: z.string(),
  }),
  z.strictObject({ what: z.literal('phase-mark'), phase: z.nullable(z.enum(toldPhases)) }),
  z.strictObject({ what: z.literal('plant'), state: z.enum(plantStates) }),
  z.strictObject({
    what: z.literal('exclusion'),
    fromMs: z.number(),
    toMs: z.number(),
    channel: z.nullable(z.string()),
    reason: z.string(),
  }),
  z.strictObject({
    what: z.literal('check'),
    kind: z.enum(['zero', 'span']),
    channel: z.string(),
    expected: z.number(),
    response: z.number(),
    direct: nullable,
    gas: z.string(),
  }),
  z.strictObject({ what: z.literal('withdrawal'), of: z.enum(['exclusion', 'check']), reason: z.string() }),
  z.strictObject({
    what: z.literal('alarm'),
    /** The id of the limit; null for what has none. */
    limitId: z.nullable(z.string()),
    class: z.enum(alarmClasses),
    cause: z.string(),
    channel: z.nullable(z.string()),
    input: z.enum(alarmInputs),
    value: nullable,
    limit: nullable,
    unit: z.nullable(z.string()),
    note: z.nullable(z.string()),
    untilMs: nullable,
  }),
  z.strictObject({ what: z.literal('fault'), fault: z.enum(instrumentFaults), isOver: z.boolean() }),
  z.strictObject({ what: z.literal('gap'), seconds: z.number() }),
  z.strictObject({
    what: z.literal('zero'),
    channel: z.string(),
    mean: z.number(),
    standardDeviation: nullable,
    count: z.int(),
    /** What was subtracted until then. */
    inUse: nullable,
    clean: z.boolean(),
    used: z.boolean(),
  }),
])
export type Happening = z.infer<typeof happening>
