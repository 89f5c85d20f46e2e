import { z } from 'zod/mini'
import { bases, origins, physicalQuantities } from '../words/quantities.ts'
import { species } from '../words/species.ts'
import { units } from '../words/units.ts'

/** JSON of which only the station knows the shape: a source, a line profile, a station file. */
const settings = z.record(z.string(), z.unknown())
const place = z.union([z.int(), z.string(), z.strictObject({ from: z.int(), length: z.int() })])

/** Where something is at fault: `channels[2].unit`, and what would do. */
export const settingFault = z.strictObject({ path: z.string(), message: z.string() })
export type SettingFault = z.infer<typeof settingFault>

/** GET /api/set-up */
export const setUpState = z.strictObject({
  /** False where this station is not set up from the browser, as the demonstration; `why` says so. */
  available: z.boolean(),
  why: z.string(),
  /** The station file that is written. */
  file: z.string(),
  /** `waiting`: no station file yet. `standby`: no run is going on, changes apply at once. `running`: from the next run. */
  state: z.enum(['waiting', 'standby', 'running']),
  /** What was written waits for the end of the run. */
  pending: z.boolean(),
  /** Stands for the file’s content as it is now; null: there is none. Given back with what is to be written. */
  seen: z.nullable(z.string()),
  station: z.nullable(settings),
  /** Stream → its line profile, also where the station file names it. */
  profiles: z.record(z.string(), settings),
})
export type SetUpState = z.infer<typeof setUpState>

/** GET /api/set-up/schema: a JSON Schema, as `z.toJSONSchema` makes it. */
export const schemaAnswer = z.strictObject({ schema: settings })

/** GET /api/set-up/ports */
export const foundPort = z.strictObject({
  device: z.string(),
  recommended: z.string(),
  byId: z.nullable(z.string()),
  byPath: z.nullable(z.string()),
  serialNumber: z.nullable(z.string()),
  usbId: z.nullable(z.string()),
  description: z.nullable(z.string()),
  note: z.string(),
})
export const portsAnswer = z.strictObject({ ports: z.array(foundPort) })
export type FoundPort = z.infer<typeof foundPort>

/** POST /api/set-up/listen: opens a source on trial, in place of another one. Nothing is recorded. */
export const listenRequest = z.strictObject({
  source: settings.check(z.describe('As `streams[0].source` of a station file; serial, tcp or file.')),
  poll: z
    .optional(
      z.strictObject({
        send: z.string().check(z.minLength(1), z.maxLength(200)),
        everySeconds: z.number().check(z.minimum(0.05), z.maximum(3600)),
      }),
    )
    .check(z.describe('As `streams[0].poll`: for instruments that only answer when asked.')),
})
/** POST /api/set-up/stop-listening */
export type ListenRequest = z.infer<typeof listenRequest>
export const nothingRequest = z.strictObject({})

/** GET /api/set-up/heard: asking keeps the trial open; unasked it is closed after 20 seconds. */
export const heardAnswer = z.strictObject({
  link: z.enum(['closed', 'opening', 'open', 'lost', 'silent', 'refused', 'ended']),
  detail: z.string(),
  /** The station itself reads this source: these are its own lines, nothing is opened. */
  own: z.boolean(),
  lines: z.int(),
  /** Median time between lines, seconds; null until three came. */
  everySeconds: z.nullable(z.number()),
  /** The newest lines, oldest first. */
  recent: z.array(z.strictObject({ number: z.int(), atMs: z.number(), text: z.string() })),
})
export type HeardAnswer = z.infer<typeof heardAnswer>

const guess = z.strictObject({ what: z.string(), value: z.string(), confidence: z.number(), reason: z.string() })
export const proposedColumn = z.strictObject({
  at: place,
  label: z.string(),
  role: z.enum(['time', 'value', 'status', 'left-out']),
  field: z.nullable(z.string()),
  meaning: z.nullable(
    z.union([z.strictObject({ species: z.enum(species) }), z.strictObject({ quantity: z.enum(physicalQuantities) })]),
  ),
  unit: z.nullable(z.enum(units)),
  basis: z.nullable(z.enum(bases)),
  origin: z.enum(origins),
  confidence: z.number(),
  reason: z.string(),
  unknown: z.array(z.string()).check(z.describe('Status words that are not known.')),
  samples: z.array(z.string()),
})
export type ProposedColumnMessage = z.infer<typeof proposedColumn>
/** POST /api/set-up/propose: a line profile from the lines heard; the same as `flueledger propose`. */
export const proposalAnswer = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    profile: settings,
    confidence: z.number(),
    guesses: z.array(guess),
    columns: z.array(proposedColumn),
    unnamed: z.array(z.string()),
    stepSeconds: z.nullable(z.number()),
  }),
  z.strictObject({
    ok: z.literal(false),
    tried: z.array(z.strictObject({ form: z.string(), why: z.string() })),
    kinds: z.array(z.strictObject({ word: z.string(), count: z.int() })),
  }),
])
export type ProposalAnswer = z.infer<typeof proposalAnswer>

/** POST /api/set-up/preview: the lines heard, read by this profile. */
export const previewRequest = z.strictObject({
  profile: settings,
  timeZone: z
    ._default(z.string().check(z.maxLength(60)), 'UTC')
    .check(z.describe('For times that the profile leaves to the station.')),
})
export const previewLine = z.strictObject({
  text: z.string(),
  read: z.discriminatedUnion('ok', [
    z.strictObject({
      ok: z.literal(true),
      timeMs: z.nullable(z.number()),
      values: z.array(
        z.strictObject({
          field: z.string(),
          value: z.nullable(z.number()),
          why: z.nullable(z.enum(['missing', 'over', 'under', 'unreadable', 'absent'])),
        }),
      ),
      status: z.array(z.strictObject({ token: z.string(), tells: z.nullable(z.string()) })),
    }),
    z.strictObject({ ok: z.literal(false), reason: z.string(), detail: z.string() }),
  ]),
})
export type PreviewLineMessage = z.infer<typeof previewLine>
export const previewAnswer = z.strictObject({
  /** Of the profile; then no line is read. */
  faults: z.array(settingFault),
  /** All lines held, at most 500. */
  lines: z.int(),
  read: z.int(),
  /** Comments, headings, blank lines. */
  harmless: z.int(),
  refused: z.record(z.string(), z.int()),
  /** Reasons of refusal in words, those that occur. */
  refusalWords: z.record(z.string(), z.string()),
  /** The newest, and before them the newest that were refused. */
  shown: z.array(previewLine),
})
export type PreviewAnswer = z.infer<typeof previewAnswer>

/** POST /api/set-up/check: faults of a station file that is to be written, and what would change in it. */
export const checkRequest = z.strictObject({ station: settings })
export const checkAnswer = z.strictObject({
  faults: z.array(settingFault),
  warnings: z.array(settingFault),
  /** Line by line, old to new; stretches of equal lines are cut down. */
  difference: z.array(z.strictObject({ kind: z.enum(['same', 'old', 'new', 'cut']), text: z.string() })),
  changed: z.boolean(),
  /** Settings that it leaves open, objects as a whole and inside: what holds in their place, and who says so. */
  open: z.array(
    z.strictObject({ path: z.string(), value: z.unknown(), from: z.enum(['preset', 'built in', 'line profile']) }),
  ),
})
export type CheckAnswer = z.infer<typeof checkAnswer>

/** POST /api/set-up/write */
export const writeRequest = z.strictObject({
  station: settings,
  seen: z
    .nullable(z.string())
    .check(z.describe('`seen` of the state that was edited: a file that changed meanwhile is not written over.')),
  start: z
    ._default(z.boolean(), true)
    .check(z.describe('Begins a run where none is going on, if the file starts runs at once.')),
})
export type WriteRequest = z.infer<typeof writeRequest>
export const writeAnswer = z.strictObject({
  ok: z.literal(true),
  applies: z.enum(['now', 'next-run']),
  file: z.string(),
})
export type WriteAnswer = z.infer<typeof writeAnswer>
