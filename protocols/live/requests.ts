import { z } from 'zod/mini'
import { type Phase, phases, plantStates, toldPhases } from '../words/phases.ts'
import { valueQuantities } from '../words/quantities.ts'
import { flagSigns } from './flags.ts'
import { averageRow, channelInfo, logbookEntry, phaseSpan } from './messages.ts'

/** Every name and note that a person gives. */
export const by = z.string().check(z.trim(), z.minLength(1, 'a name is needed: the logbook says who'), z.maxLength(60))
export const note = z.string().check(z.trim(), z.maxLength(2000))

/** A gas given to the instrument and what it showed. */
export const checked = {
  kind: z.enum(['zero', 'span']),
  channel: z.string().check(z.minLength(1)),
  expected: z.number().check(z.minimum(0), z.describe('What the gas holds, in the channel’s unit.')),
  response: z
    .number()
    .check(z.describe('What the instrument showed with the gas given through the whole sampling system.')),
  direct: z
    ._default(z.nullable(z.number()), null)
    .check(z.describe('What it showed with the gas given to the analyser itself; null where that was not done.')),
  gas: note.check(z.minLength(1, 'a check names its gas: cylinder, certificate')),
}

/** POST /api/actions: what an operator does. Answers 200 `{ ok: true }`, 400 `{ errors }`, 404, 409 `{ errors }`. */
export const actionRequest = z.discriminatedUnion('do', [
  z.strictObject({
    do: z.literal('acknowledge'),
    by,
    alarm: z.string().check(z.minLength(1)),
    note: note.check(z.minLength(1, 'acknowledging takes a note')),
  }),
  z.strictObject({
    do: z.literal('shelve'),
    by,
    alarm: z.string().check(z.minLength(1)),
    minutes: z.number().check(z.positive(), z.maximum(1440)),
    note: note.check(z.minLength(1, 'shelving takes a reason')),
  }),
  z.strictObject({
    do: z.literal('unshelve'),
    by,
    alarm: z.string().check(z.minLength(1)),
    note: z._default(note, ''),
  }),
  z.strictObject({ do: z.literal('reset'), by, alarm: z.string().check(z.minLength(1)), note: z._default(note, '') }),
  z.strictObject({
    do: z.literal('note'),
    by,
    text: note.check(z.minLength(1)),
    pressedMs: z.number().check(z.describe('Station time of the press.')),
    corrects: z
      .optional(z.string().check(z.minLength(1), z.maxLength(2400)))
      .check(z.describe('The id of the note that this one corrects.')),
  }),
  z.strictObject({
    do: z.literal('mark-phase'),
    by,
    stream: z._default(z.nullable(z.string()), null),
    phase: z.nullable(z.enum(toldPhases)),
  }),
  z.strictObject({ do: z.literal('plant-state'), by, state: z.enum(plantStates) }),
  z.strictObject({
    do: z.literal('check'),
    by,
    ...checked,
    performedMs: z
      .optional(z.number())
      .check(
        z.describe(
          'Station time at which the response was read off; now where it is not given. May lie before the run.',
        ),
      ),
  }),
])
export type ActionRequest = z.infer<typeof actionRequest>

/** POST /api/run: run control. */
export const runRequest = z.discriminatedUnion('do', [
  z.strictObject({
    do: z.literal('start'),
    by,
    name: z.optional(z.string().check(z.trim(), z.maxLength(60))),
    at: z.optional(z.iso.datetime({ offset: true })),
    end: z.optional(
      z.union([
        z.strictObject({ afterCountedMinutes: z.number().check(z.positive()) }),
        z.strictObject({ at: z.iso.datetime({ offset: true }) }),
        z.strictObject({ afterMinutes: z.number().check(z.positive()) }),
      ]),
    ),
    count: z._default(z.int().check(z.minimum(1), z.maximum(50)), 1),
    pauseMinutes: z._default(z.number().check(z.minimum(0), z.maximum(1440)), 0),
  }),
  z.strictObject({ do: z.literal('end'), by, note: z._default(note, '') }),
  z.strictObject({ do: z.literal('cancel-planned'), by }),
])
export type RunRequest = z.infer<typeof runRequest>

export const answer = z.strictObject({ ok: z.boolean(), errors: z._default(z.array(z.string()), []) })

/** GET /api/recordings */
export const recordingSummary = z.strictObject({
  id: z.string(),
  name: z.string(),
  station: z.string(),
  state: z.enum(['running', 'suspended', 'ended', 'standby', 'damaged']),
  startMs: z.nullable(z.number()),
  endMs: z.nullable(z.number()),
  lines: z.int(),
  bytes: z.int(),
  seals: z.int(),
  head: z.nullable(z.string()),
  speed: z.number(),
  invented: z.boolean(),
  detail: z.string(),
})
export type RecordingSummary = z.infer<typeof recordingSummary>
export const recordingsAnswer = z.strictObject({ recordings: z.array(recordingSummary) })

/** POST /api/recordings/:id/removal */
export const removal = z.strictObject({
  by,
  confirm: z.string().check(z.describe('The recording’s own id, once more.')),
})

/** GET /api/recordings/:id/blocks?average=PT30M&channel=co&quantity=…&from=&to= (`current` stands for the running one; from and to in ms) */
export const blocksAnswer = z.strictObject({ rows: z.array(averageRow) })
/** GET /api/recordings/:id/channels */
export const channelsAnswer = z.strictObject({ channels: z.array(channelInfo) })
/** Parts of the logbook; `event` is all that is neither a note nor an alarm. */
export const entryGroups = ['all', 'note', 'alarm', 'event'] as const
export type EntryGroup = (typeof entryGroups)[number]
/** So many entries at most are told at once where a number is asked for. */
export const logbookMost = 5000
/** GET /api/recordings/:id/logbook?from=&to=&group=all|note|alarm|event&most=200&flagged=1 (`left`: how many more there are) */
export const logbookAnswer = z.strictObject({ entries: z.array(logbookEntry), left: z.number() })
/** GET /api/recordings/:id/phases?from=&to= */
export const phasesAnswer = z.strictObject({ spans: z.array(phaseSpan) })

/**
 * GET /api/recordings/:id/series?channels=co,o2&value=asRead|corrected|referred&from=&to=&columns=600
 * Down-sampled to at most `columns` columns. Each column holds the lowest and highest value in it, so extremes stay;
 * a column without readings is null, so gaps stay.
 */
export const seriesAnswer = z.strictObject({
  fromMs: z.number(),
  toMs: z.number(),
  columnMs: z.number(),
  /** Start of each column. */
  atMs: z.array(z.number()),
  channels: z.record(
    z.string(),
    z.strictObject({
      low: z.array(z.nullable(z.number())),
      high: z.array(z.nullable(z.number())),
      last: z.array(z.nullable(z.number())),
    }),
  ),
})
export type SeriesAnswer = z.infer<typeof seriesAnswer>

/**
 * A column looked through in one pass: a month has tens of thousands of phases, and a schema that walks from one to the
 * next would hold up the page that draws them.
 */
const column = <T>(isOne: (one: unknown) => boolean) =>
  z.array(z.unknown()).check(({ value, issues }) => {
    if (!value.every(isOne)) issues.push({ code: 'custom', input: value })
  }) as unknown as z.ZodMiniType<readonly T[]>
const isNumber = (one: unknown) => typeof one === 'number'
const numbers = column<number>(isNumber)
const numbersOrNone = column<number | null>((one) => one === null || isNumber(one))

/** What the logbook holds of a column of a chart. */
export const flag = z.strictObject({
  /** Of the first entry and of the last. */
  atMs: z.number(),
  endMs: z.number(),
  count: z.number(),
  /** Of the entry that matters most. */
  sign: z.enum(flagSigns),
  /** Of the first entry. */
  kind: logbookEntry.shape.kind,
})
export type Flag = z.infer<typeof flag>

/**
 * GET /api/recordings/:id/marks?from=&to=&average=PT30M&asRead=o2&corrected=&referred=co,nox&flagsTo=&columns=180
 * What lies under and over the traces of charts, in columns. The same facts are told row by row, with all that belongs
 * to them, by `phases` and `blocks`.
 */
export const marksAnswer = z.strictObject({
  /** Stream → its phases in order; the end of one that is still open is null. */
  phases: z.record(
    z.string(),
    z.strictObject({
      startMs: numbers,
      endMs: numbersOrNone,
      phase: column<Phase>((one) => phases.includes(one as Phase)),
    }),
  ),
  /** Means of the blocks of one length that reach into [from, to), by channel: null where a block has none. `valid`: 1 or 0. */
  steps: z.strictObject({
    startMs: numbers,
    endMs: numbers,
    channels: z.record(
      z.string(),
      z.strictObject({ quantity: z.enum(valueQuantities), mean: numbersOrNone, valid: numbers }),
    ),
  }),
  /** Each column that holds an entry worth a flag, in order. */
  flags: z.array(flag),
})
export type MarksAnswer = z.infer<typeof marksAnswer>

/** GET /api/recordings/:id/verify */
export const verifyAnswer = z.strictObject({
  ok: z.boolean(),
  engine: z.string(),
  seals: z.strictObject({ ok: z.boolean(), count: z.int(), head: z.nullable(z.string()), faults: z.array(z.string()) }),
  order: z.strictObject({ ok: z.boolean(), faults: z.array(z.string()) }),
  recomputation: z.strictObject({
    ok: z.boolean(),
    blocks: z.int(),
    faults: z.array(z.string()),
    /** What must be known to read the finding: another version of the engine, amendments, an unsealed history. */
    notes: z._default(z.array(z.string()), []),
  }),
})
export type VerifyAnswer = z.infer<typeof verifyAnswer>

/** GET /healthz */
export const healthAnswer = z.strictObject({
  ok: z.boolean(),
  reasons: z.array(z.string()),
  version: z.string(),
  run: z.nullable(z.string()),
  storedUpToMs: z.nullable(z.number()),
})
