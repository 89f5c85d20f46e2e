import { z } from 'zod/mini'
import { alarmClasses, alarmInputs, alarmPriorities, alarmStates } from '../words/alarms.ts'
import { type AverageRow, blockReasons, blockStates, detections } from '../words/blocks.ts'
import { phaseSources, phases, plantStates } from '../words/phases.ts'
import { bases, origins, physicalQuantities, valueQuantities } from '../words/quantities.ts'
import { species } from '../words/species.ts'
import type { IsoDuration } from '../words/time.ts'
import { units } from '../words/units.ts'
import { uncertaintyUses, verdicts } from '../words/verdicts.ts'
import { happening } from './happening.ts'

/** Raised when a page of an older version can no longer read what the server sends. */
export const liveProtocolVersion = 1

const ms = z.number()
const nullable = z.nullable(z.number()) // null: no value; never 0, never NaN

export const averageRow = z.strictObject({
  stream: z.string(),
  channel: z.string(),
  species: z.nullable(z.enum(species)),
  quantity: z.enum(valueQuantities),
  unit: z.enum(units),
  basis: z.nullable(z.enum(bases)),
  referenceOxygen: nullable,
  conditions: z.nullable(z.string()),
  average: z.string() as unknown as z.ZodMiniType<IsoDuration>,
  startMs: ms,
  endMs: ms,
  mean: nullable,
  minimum: nullable,
  maximum: nullable,
  standardDeviation: nullable,
  count: z.int().check(z.nonnegative()),
  countedMs: ms,
  coverage: z.nullable(z.number().check(z.minimum(0), z.maximum(1))),
  valid: z.boolean(),
  reasons: z.readonly(z.array(z.enum(blockReasons))),
  detection: z.nullable(z.enum(detections)),
  state: z.enum(blockStates),
  uncertainty: nullable,
  verdicts: z.readonly(
    z.array(
      z.strictObject({
        limit: z.string(),
        verdict: z.enum(verdicts),
        complies: z.nullable(z.boolean()),
        result: z.number(),
      }),
    ),
  ),
}) satisfies z.ZodMiniType<AverageRow>

export const channelInfo = z.strictObject({
  id: z.string(),
  name: z.string(),
  stream: z.string(),
  species: z.nullable(z.enum(species)),
  quantity: z.nullable(z.enum(physicalQuantities)),
  unit: z.enum(units),
  basis: z.nullable(z.enum(bases)),
  origin: z.enum(origins),
  decimals: z.int(),
  range: z.nullable(z.tuple([z.number(), z.number()])),
  t95Seconds: z.number(),
  selfZeroing: z.boolean(),
  /** The unit of `referred`, and what it is referred to; null where the channel is not referred. */
  referred: z.nullable(z.strictObject({ unit: z.enum(units), referenceOxygen: z.number(), decimals: z.int() })),
  /** A supporting channel: shown small. */
  supporting: z.boolean(),
})
export type ChannelInfo = z.infer<typeof channelInfo>

export const limitInfo = z.strictObject({
  id: z.string(),
  channel: z.string(),
  of: z.enum(['reading', 'block', 'rolling']),
  average: z.nullable(z.string()),
  kind: z.enum(['high', 'low']),
  value: z.number(),
  unit: z.enum(units),
  referenceOxygen: nullable,
  basis: z.enum(bases),
  quantity: z.enum(valueQuantities),
})
export type LimitInfo = z.infer<typeof limitInfo>

export const streamState = z.strictObject({
  id: z.string(),
  source: z.string(),
  link: z.enum(['waiting', 'open', 'lost', 'silent', 'refused', 'ended']),
  linkSinceMs: ms,
  linkDetail: z.string(),
  attempt: z.int(),
  lastLineMs: nullable,
  expectEverySeconds: z.number(),
  lines: z.int(),
  /** Lines that could not be read, by reason; not those that are no sign of trouble, as comments or the first piece after a link opened. */
  refused: z.record(z.string(), z.int()),
  phase: z.enum(phases),
  phaseSinceMs: ms,
  phaseCause: z.enum([...phaseSources, 'settling', 'run-start', 'nothing-told']),
  phaseInferred: z.boolean(),
  /** What comes next and when, where a schedule, settling or the cycle so far tells; the word says how it is known. */
  next: z.nullable(
    z.strictObject({
      phase: z.enum(phases),
      atMs: ms,
      known: z.enum(['settling', 'schedule', 'from the cycles so far']),
    }),
  ),
})
export type StreamState = z.infer<typeof streamState>

export const readingState = z.strictObject({
  stream: z.string(),
  atMs: ms,
  phase: z.enum(phases),
  plant: z.enum(plantStates),
  /** Station time at which the line came, for its age; where it is left out, `atMs` is taken, which is wrong for lines with a time of their own. */
  arrivedMs: z.optional(ms),
  /** By channel id; only the channels of this stream and the sums formed from it. `flag`: 0 counts, see `countFlag`. */
  values: z.record(
    z.string(),
    z.strictObject({ asRead: nullable, corrected: nullable, referred: nullable, flag: z.int() }),
  ),
})
export type ReadingState = z.infer<typeof readingState>

export const alarmStanding = z.strictObject({
  alarm: z.string(),
  class: z.enum(alarmClasses),
  cause: z.string(),
  stream: z.nullable(z.string()),
  channel: z.nullable(z.string()),
  priority: z.enum(alarmPriorities),
  state: z.enum(alarmStates),
  active: z.boolean(),
  raisedMs: ms,
  sinceMs: ms,
  value: nullable,
  limit: nullable,
  unit: z.nullable(z.string()),
  by: z.nullable(z.string()),
  note: z.nullable(z.string()),
  untilMs: nullable,
  count: z.int(),
})
export type AlarmStanding = z.infer<typeof alarmStanding>

export const alarmTransition = z.strictObject({
  alarm: z.string(),
  class: z.enum(alarmClasses),
  cause: z.string(),
  stream: z.nullable(z.string()),
  channel: z.nullable(z.string()),
  priority: z.enum(alarmPriorities),
  atMs: ms,
  from: z.enum(alarmStates),
  to: z.enum(alarmStates),
  input: z.enum(alarmInputs),
  active: z.boolean(),
  value: nullable,
  limit: nullable,
  unit: z.nullable(z.string()),
  by: z.nullable(z.string()),
  note: z.nullable(z.string()),
  untilMs: nullable,
})

/** Where a running block is heading against its limit. Advice, never an exceedance. */
export const outlook = z.strictObject({
  limit: z.string(),
  channel: z.string(),
  average: z.string(),
  startMs: ms,
  endMs: ms,
  soFar: nullable,
  likelyLow: nullable,
  likelyHigh: nullable,
  /** `cannot-tell` until enough has been counted. */
  heading: z.enum(['below', 'above', 'undecided', 'cannot-tell']),
  /** When the block's mean can no longer come out below, were the newest level to hold; null where it does not. */
  reachesLimitMs: nullable,
  /** Whether the validity rule can still be met, is met already, or no longer can. */
  validity: z.enum(['met', 'on-course', 'at-risk', 'lost']),
  countedMs: ms,
  neededMs: nullable,
})
export type Outlook = z.infer<typeof outlook>

export const logbookEntry = z.strictObject({
  id: z.string(),
  atMs: ms,
  kind: z.enum(['note', 'alarm', 'event', 'run', 'operator', 'link', 'clock']),
  stream: z.nullable(z.string()),
  text: z.string(),
  by: z.nullable(z.string()),
  savedMs: nullable,
  severity: z.enum(['plain', 'notable', 'abnormal']),
  /** The id of the note that this one corrects; that one stays as it was. */
  corrects: z.optional(z.string()),
  /** What `text` says, in parts; left out where the words are all there is, as of a note. */
  happened: z.optional(happening),
})
export type LogbookEntry = z.infer<typeof logbookEntry>

export const phaseSpan = z.strictObject({
  stream: z.string(),
  phase: z.enum(phases),
  startMs: ms,
  endMs: nullable,
  cause: z.string(),
  inferred: z.boolean(),
  readings: z.int(),
})
export type PhaseSpan = z.infer<typeof phaseSpan>

export const runState = z.strictObject({
  recording: z.nullable(z.string()),
  name: z.string(),
  state: z.enum(['waiting', 'planned', 'running', 'ended', 'suspended']),
  startMs: nullable,
  plannedMs: nullable,
  endMs: nullable,
  /** Both durations : time on the clock and counted time. */
  elapsedMs: ms,
  countedMs: ms,
  endRule: z.nullable(z.string()),
  number: z.int(),
  of: z.int(),
})
export type RunState = z.infer<typeof runState>

export const recordingState = z.strictObject({
  state: z.enum(['recording', 'behind', 'standby', 'stopped']),
  storedUpToMs: nullable,
  waiting: z.int(),
  bytes: z.int(),
  detail: z.string(),
  hoursLeft: nullable,
})
export type RecordingState = z.infer<typeof recordingState>

export const clockState = z.strictObject({
  stationMs: ms,
  speed: z.number(),
  zone: z.string(),
  standardTime: z.boolean(),
  offsetMinutes: z.number(),
})
export const playbackState = z.strictObject({
  recording: z.string(),
  atMs: ms,
  startMs: ms,
  endMs: ms,
  playing: z.boolean(),
  speed: z.number(),
  /** Of the station's clock when this moment was recorded: 1, or more in a demonstration that was hurried. */
  recordedSpeed: z.number(),
})

/** How the station states results and judges them. */
export const statedResults = z.strictObject({
  label: z.enum(['start', 'end', 'both']),
  ties: z.enum(['half-even', 'half-away']),
  /** null: the channel's. */
  decimals: z.nullable(z.int()),
  /** null: decimals decide. */
  significantFigures: z.nullable(z.int()),
  comparison: z.enum(['absolute', 'rounded']),
  /** null: no verdicts are given. */
  uncertainty: z.nullable(z.enum(uncertaintyUses)),
})
export type StatedResults = z.infer<typeof statedResults>
/** A stretch that an operator took out of the averages. */
export const toldExclusion = z.strictObject({
  id: z.string(),
  fromMs: ms,
  toMs: ms,
  /** null: all streams; all channels. */
  stream: z.nullable(z.string()),
  channel: z.nullable(z.string()),
  reason: z.string(),
  by: z.string(),
  toldMs: ms,
})
export type ToldExclusion = z.infer<typeof toldExclusion>

export const snapshotMessage = z.strictObject({
  type: z.literal('snapshot'),
  sequence: z.int(),
  protocol: z.int(),
  version: z.string(),
  mode: z.enum(['live', 'replay']),
  invented: z.boolean(),
  station: z.string(),
  clock: clockState,
  playback: z.nullable(playbackState),
  run: runState,
  recording: recordingState,
  streams: z.array(streamState),
  plant: z.strictObject({ state: z.enum(plantStates), sinceMs: ms }),
  channels: z.array(channelInfo),
  limits: z.array(limitInfo),
  averages: z.strictObject({
    blocks: z.array(z.string()),
    rolling: z.array(z.string()),
    /** Fixed averages that are formed from blocks, as `P1D`; and `run` where the whole run is averaged. */
    long: z.array(z.string()),
    validity: z.string(),
    align: z.enum(['clock', 'run']),
  }),
  results: statedResults,
  readings: z.array(readingState),
  openBlocks: z.array(averageRow),
  rolling: z.array(averageRow),
  recentBlocks: z.array(averageRow),
  outlooks: z.array(outlook),
  alarms: z.array(alarmStanding),
  logbook: z.array(logbookEntry),
  phaseSpans: z.array(phaseSpan),
  warnings: z.array(z.string()),
  /** What is taken out of the averages; left out: nothing. */
  exclusions: z.optional(z.array(toldExclusion)),
  /** What this station lets an operator tell; left out: not known, nothing is offered. */
  operatorTells: z.optional(z.strictObject({ phase: z.boolean(), plant: z.boolean() })),
})
export type SnapshotMessage = z.infer<typeof snapshotMessage>

/** Increments. `sequence` goes up by one; a hole means: ask for a snapshot. Each carries whole values, never differences. */
const numbered = { sequence: z.int() }
export const incrementMessage = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('reading'), ...numbered, reading: readingState, lines: z.int() }),
  z.strictObject({ type: z.literal('stream'), ...numbered, stream: streamState }),
  z.strictObject({
    type: z.literal('plant'),
    ...numbered,
    plant: z.strictObject({ state: z.enum(plantStates), sinceMs: ms }),
  }),
  z.strictObject({ type: z.literal('phase-span'), ...numbered, span: phaseSpan }),
  z.strictObject({ type: z.literal('block'), ...numbered, row: averageRow }),
  z.strictObject({ type: z.literal('rolling'), ...numbered, row: averageRow }),
  /** The running blocks and where they are heading; at most once a second. */
  z.strictObject({
    type: z.literal('running'),
    ...numbered,
    openBlocks: z.array(averageRow),
    outlooks: z.array(outlook),
    run: runState,
    recording: recordingState,
    clock: clockState,
  }),
  z.strictObject({
    type: z.literal('alarm'),
    ...numbered,
    standing: z.array(alarmStanding),
    transition: alarmTransition,
  }),
  z.strictObject({ type: z.literal('logbook'), ...numbered, entry: logbookEntry }),
  z.strictObject({ type: z.literal('playback'), ...numbered, playback: playbackState }),
  /** Messages were merged for a slow reader: only the newest values were sent. */
  z.strictObject({ type: z.literal('merged'), ...numbered, skipped: z.int() }),
])
export type IncrementMessage = z.infer<typeof incrementMessage>
export const liveMessage = z.union([snapshotMessage, incrementMessage])
export type LiveMessage = z.infer<typeof liveMessage>

/** What the browser sends over the WebSocket. */
export const clientMessage = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('resync'), lastSequence: z.int() }),
  z.strictObject({ type: z.literal('play'), speed: z.number().check(z.positive(), z.maximum(100_000)) }),
  z.strictObject({ type: z.literal('pause') }),
  z.strictObject({ type: z.literal('seek'), atMs: ms }),
])
export type ClientMessage = z.infer<typeof clientMessage>

/** Where each fault lies and of what kind it is: `streams[0].unit: invalid_value`. In codes, for a page carries no texts of the schemas. */
export const explainFaults = (error: z.core.$ZodError): string[] =>
  error.issues.map((issue) => `${z.core.toDotPath(issue.path)}: ${issue.code}`)
