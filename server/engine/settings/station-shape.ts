import { z } from 'zod'
import { lineProfile } from '../../../protocols/instrument/profile.ts'
import { instrumentFaults, phaseSources, toldPhases } from '../../../protocols/words/phases.ts'
import { bases, origins, physicalQuantities } from '../../../protocols/words/quantities.ts'
import { species } from '../../../protocols/words/species.ts'
import { durationMs } from '../../../protocols/words/time.ts'
import { gasUnits, units } from '../../../protocols/words/units.ts'
import { lineSource } from './line-sources.ts'

const id = z.string().regex(/^[a-z0-9][a-z0-9_-]{0,39}$/, 'an id is lower-case letters, digits, - and _, at most 40').describe('Lower-case letters, digits, - and _.')
const seconds = z.number().min(0).max(86_400)
const wholeMinutes = z.string().refine((text) => durationMs(text) !== null, 'a length of whole minutes as ISO 8601: PT1M, PT30M, PT1H').describe('ISO 8601: PT1M, PT30M, PT1H.')
const blockLength = wholeMinutes.refine((text) => 86_400_000 % (durationMs(text) ?? 7) === 0, 'a block’s length must divide the day (PT1M, PT6M, PT10M, PT30M, PT1H …)')
const priority = z.enum(['low', 'medium', 'high'])

const stream = z.strictObject({
  id,
  source: lineSource,
  profile: z.union([lineProfile, z.string().min(1)]).describe('A line profile, inline, or the name of a file beside the station file.'),
  poll: z.strictObject({ send: z.string().min(1).describe('Sent as it stands; \\r and \\n are line ends.'), everySeconds: seconds.min(0.05) }).optional(),
  expectEverySeconds: z.number().positive().max(86_400).describe('The step at which lines are expected; it sets what a gap is and when the stream is silent.'),
  timeFrom: z.enum(['arrival', 'line']).default('arrival').describe('Which time orders and keys the readings.'),
  stamp: z.enum(['start', 'end']).default('start').describe('Whether the stamp stands at the start or the end of what it represents.'),
  dilution: z.number().min(1).max(10_000).optional().describe('A fixed dilution of the sample that is not in the values: they are multiplied by it.'),
})

const need = z.strictObject({ channel: id, between: z.tuple([z.number(), z.number()]) })
const channel = z.strictObject({
  id,
  name: z.string().max(40).optional(),
  stream: id.optional(),
  field: z.string().min(1).optional().describe('The profile’s field.'),
  sumOf: z.array(id).min(1).max(4).optional().describe('In place of stream and field: the sum of other gas channels in ppm, as NOx from NO and NO₂.'),
  species: z.enum(species).optional(),
  quantity: z.enum(physicalQuantities).optional(),
  unit: z.enum(units),
  basis: z.enum(bases).default('dry'),
  origin: z.enum(origins).default('measured'),
  range: z.tuple([z.number(), z.number()]).optional().describe('Below low − 5 % of the span, or above high, a reading is out of range.'),
  t95Seconds: seconds.default(0).describe('Response time to 95 % of a step, the slower of up and down.'),
  selfZeroing: z.boolean().default(false),
  referenceOxygen: z.number().min(0).max(20).optional().describe('The instrument has already referred this value to this oxygen content, vol%: it is not converted again.'),
  needs: z.array(need).default([]).describe('Supporting channels and the range in which they must be.'),
  decimals: z.int().min(0).max(6).optional().describe('Decimals on screens and in reports.'),
})

const signalRule = z.strictObject({
  channel: id, enterAbove: z.number().optional(), leaveBelow: z.number().optional(), enterBelow: z.number().optional(), leaveAbove: z.number().optional(),
})
const phaseSettings = z.strictObject({
  from: z.array(z.enum(phaseSources)).default(['status', 'operator']).describe('Who tells, the first that has something to tell wins.'),
  schedule: z.array(z.strictObject({
    phase: z.enum(toldPhases), everyMinutes: z.number().positive(), offsetMinutes: z.number().min(0).default(0), lengthSeconds: z.number().positive(),
  })).optional().describe('Counted from local midnight.'),
  signal: z.strictObject({
    phase: z.enum(['purge', 'zero', 'standby']).default('purge'),
    rules: z.array(signalRule).min(1),
    dwellSeconds: seconds.default(20),
    backDate: z.boolean().default(true),
  }).optional(),
  otherwise: z.enum(['unknown', 'measure']).default('unknown').describe('What holds where nobody tells.'),
  settle: z.union([z.strictObject({ timesT95: z.number().min(0).max(20) }), z.strictObject({ seconds })]).default({ timesT95: 2 }),
  per: z.enum(['channel', 'stream']).default('channel').describe('`stream`: every channel waits as long as the slowest.'),
  faultsThatStop: z.array(z.enum(instrumentFaults)).default(['condensate', 'pump-flow', 'other']).describe('Faults told by the instrument that stop all readings of the stream from counting.'),
  purge: z.strictObject({ longestMinutes: z.number().positive().optional(), atLeastEveryMinutes: z.number().positive().optional() }).prefault({})
    .describe('A purge that lasts longer, or that does not come within this time, raises an alarm.'),
})

const plantState = z.discriminatedUnion('from', [
  z.strictObject({ from: z.literal('always-running') }),
  z.strictObject({ from: z.literal('operator') }),
  z.strictObject({ from: z.literal('status') }),
  z.strictObject({ from: z.literal('signal'), channel: id, runningAbove: z.number(), offBelow: z.number(), dwellSeconds: seconds.default(10) })
    .describe('Above: running. Below `offBelow`: off. Between: shut-down coming from running, start-up coming from off.'),
])

const averaging = z.strictObject({
  blocks: z.array(blockLength).min(1).max(8).default(['PT1M', 'PT30M']),
  align: z.enum(['clock', 'run']).default('clock'),
  rolling: z.array(wholeMinutes).max(6).default([]),
  validity: z.discriminatedUnion('rule', [
    z.strictObject({ rule: z.literal('fraction'), minimum: z.string().regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/, 'a fraction of whole numbers as 2/3').default('2/3') }),
    z.strictObject({ rule: z.literal('quadrants'), purgeIsQualityAssurance: z.boolean(), minimum: z.string().regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/).default('2/3').describe('For lengths other than an hour.') }),
    z.strictObject({ rule: z.literal('minutes'), minimum: z.number().positive() }),
  ]).default({ rule: 'fraction', minimum: '2/3' }),
})

const conversions = z.strictObject({
  moisture: z.union([z.strictObject({ channel: id }), z.strictObject({ percent: z.number().min(0).max(95) })]).optional().describe('Water vapour, vol%: from a channel or a fixed value.'),
  normal: z.strictObject({ temperatureK: z.number().min(200).max(400), pressurekPa: z.number().min(50).max(120) }).default({ temperatureK: 273.15, pressurekPa: 101.325 }),
  oxygenChannel: id.optional().describe('The channel that refers the others to the reference oxygen; the only O2 channel where there is just one.'),
  referenceOxygen: z.number().min(0).max(20).optional(),
  ambientOxygen: z.number().min(20).max(21.5).default(20.95).describe('20.9 in US methods, 21 in EU texts, 20.95 physical.'),
  oxygenGuard: z.number().min(5).max(21).default(19).describe('Above this oxygen content nothing is referred: the divisor is too small.'),
  onlyAboveReference: z.boolean().default(false).describe('Correct only where the measured oxygen is above the reference.'),
  referredUnit: z.enum(['mg/m3', 'ppm']).default('mg/m3').describe('The unit of what is referred to the reference oxygen.'),
  noxAs: z.enum(['NO2', 'NO']).default('NO2'),
  applyTo: z.enum(['blocks', 'readings']).default('blocks').describe('`blocks`: average, then convert (AV-12). `readings`: convert each reading, then average.'),
})

const limit = z.strictObject({
  id: id.optional(),
  channel: id,
  of: z.enum(['reading', 'block', 'rolling']),
  average: wholeMinutes.optional().describe('For `block` and `rolling`.'),
  kind: z.enum(['high', 'low']).default('high'),
  value: z.number(),
  unit: z.enum(gasUnits).or(z.enum(units)),
  referenceOxygen: z.number().min(0).max(20).optional(),
  basis: z.enum(bases).default('dry'),
  deadband: z.number().min(0).default(0),
  onDelaySeconds: seconds.default(0),
  offDelaySeconds: seconds.default(0),
  priority: priority.default('medium'),
  latched: z.boolean().default(false),
})

/** Health causes: each can be set apart; `off` silences it, and that is printed. */
export const healthCauses = [
  'condensate', 'pump-flow', 'filter', 'cell-temperature', 'mains', 'battery', 'cell-over-range', 'other-fault',
  'silence', 'lost-link', 'purge-overrun', 'purge-missing', 'coverage-at-risk', 'unparsable-lines',
] as const
export type HealthCause = (typeof healthCauses)[number]
const healthAlarm = z.strictObject({ priority: priority.optional(), onDelaySeconds: seconds.optional(), offDelaySeconds: seconds.optional(), latched: z.boolean().optional(), off: z.boolean().optional() })

const endRule = z.union([z.strictObject({ afterCountedMinutes: z.number().positive() }), z.strictObject({ at: z.iso.datetime({ offset: true }) }), z.strictObject({ afterMinutes: z.number().positive() })])
const run = z.strictObject({
  name: z.string().max(60).optional(),
  start: z.union([z.literal('at-once'), z.literal('operator'), z.strictObject({ at: z.iso.datetime({ offset: true }) })]).default('at-once'),
  end: endRule.optional().describe('Without it the operator ends the run.'),
  count: z.int().min(1).max(50).default(1).describe('How many runs follow each other.'),
  pauseMinutes: z.number().min(0).max(1440).default(0),
})

/** The shape of the station file, part by part; `stationFile` also holds the parts against each other. */
export const stationShape = z.strictObject({
  $schema: z.string().optional(),
  format: z.literal(1),
  regime: z.enum(['eu', 'us', 'custom']).default('custom'),
  station: z.strictObject({ name: z.string().min(1).max(80), timeZone: z.string().min(1).default('UTC'), standardTime: z.boolean().default(false) }),
  streams: z.array(stream).min(1).max(8),
  channels: z.array(channel).min(1).max(64),
  phases: phaseSettings.prefault({}),
  plantState: plantState.default({ from: 'always-running' }),
  run: run.prefault({}),
  clock: z.strictObject({ speed: z.number().positive().max(100_000).default(1) }).prefault({}),
  corrections: z.strictObject({
    zero: z.enum(['none', 'last']).default('none').describe('`last`: the mean of the last purge’s or zero’s settled part is subtracted from combustion gases.'),
    span: z.record(id, z.number().positive()).default({}).describe('Channel → true value / reading, from a check with calibration gas.'),
  }).prefault({}),
  conversions: conversions.prefault({}),
  averaging: averaging.prefault({}),
  limits: z.array(limit).max(100).default([]),
  alarms: z.partialRecord(z.enum(healthCauses), healthAlarm).default({}),
  unparsable: z.strictObject({ perMinute: z.number().positive().default(6) }).prefault({}),
  plant: z.strictObject({ fuel: z.string().max(60).optional(), duct: z.string().max(120).optional(), name: z.string().max(120).optional() }).prefault({}),
  site: z.strictObject({ name: z.string().max(120).optional(), address: z.string().max(200).optional() }).prefault({}),
})

export type StationFile = z.infer<typeof stationShape>
export type StationFileInput = z.input<typeof stationShape>
export type StreamSettings = z.infer<typeof stream>
export type ChannelSettings = z.infer<typeof channel>
export type LimitSettings = z.infer<typeof limit>
export type PhaseSettings = StationFile['phases']
export type RunSettings = StationFile['run']
