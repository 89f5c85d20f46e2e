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
  id: id.describe('The stream’s name in exports and on screens: lower-case letters, digits, - and _.'),
  source: lineSource.describe('Where the lines come from.'),
  profile: z.union([lineProfile, z.string().min(1)]).describe('A line profile, inline, or the name of a file beside the station file.'),
  poll: z.strictObject({ send: z.string().min(1).describe('Sent as it stands; \\r and \\n are line ends.'), everySeconds: seconds.min(0.05).describe('How often it is sent.') }).optional().describe('For instruments that only answer when asked; serial and TCP.'),
  expectEverySeconds: z.number().positive().max(86_400).describe('The step at which lines are expected; it sets what a gap is and when the stream is silent.'),
  timeFrom: z.enum(['arrival', 'line']).default('arrival').describe('Which time orders and keys the readings.'),
  stamp: z.enum(['start', 'end']).default('start').describe('Whether the stamp stands at the start or the end of what it represents.'),
  dilution: z.number().min(1).max(10_000).optional().describe('A fixed dilution of the sample that is not in the values: they are multiplied by it.'),
})

const need = z.strictObject({ channel: id.describe('The supporting channel.'), between: z.tuple([z.number(), z.number()]).describe('Lowest and highest value at which this channel’s readings count.') })
const channel = z.strictObject({
  id: id.describe('The channel’s name in exports: lower-case letters, digits, - and _.'),
  name: z.string().max(40).optional().describe('The name on screens; the formula of the gas where it is not set.'),
  stream: id.optional().describe('The stream that brings it.'),
  field: z.string().min(1).optional().describe('The profile’s field.'),
  sumOf: z.array(id).min(1).max(4).optional().describe('In place of stream and field: the sum of other gas channels in ppm, as NOx from NO and NO₂.'),
  species: z.enum(species).optional().describe('The gas. A channel has a species or a quantity.'),
  quantity: z.enum(physicalQuantities).optional().describe('What is measured, where it is no gas.'),
  unit: z.enum(units).describe('The unit in which the instrument writes it; taken from the profile where the profile says it.'),
  basis: z.enum(bases).default('dry').describe('Whether the gas is measured dry (behind a cooler) or wet.'),
  origin: z.enum(origins).default('measured').describe('`computed`: worked out by the instrument from others; never corrected by us. Taken from the profile where not set.'),
  range: z.tuple([z.number(), z.number()]).optional().describe('Below low − 5 % of the span, or above high, a reading is out of range.'),
  t95Seconds: seconds.default(0).describe('Response time to 95 % of a step, the slower of up and down.'),
  selfZeroing: z.boolean().default(false).describe('The instrument zeroes this cell by itself: no purge zero is subtracted again. Taken from the profile where not set.'),
  referenceOxygen: z.number().min(0).max(20).optional().describe('The instrument has already referred this value to this oxygen content, vol%: it is not converted again.'),
  needs: z.array(need).default([]).describe('Supporting channels and the range in which they must be.'),
  decimals: z.int().min(0).max(6).optional().describe('Decimals on screens and in reports.'),
})

const signalRule = z.strictObject({
  channel: id.describe('The channel that is looked at.'),
  enterAbove: z.number().optional().describe('The rule holds above this value.'),
  leaveBelow: z.number().optional().describe('With `enterAbove`: it holds until the value falls below this one. Lower than `enterAbove`.'),
  enterBelow: z.number().optional().describe('The rule holds below this value.'),
  leaveAbove: z.number().optional().describe('With `enterBelow`: it holds until the value rises above this one. Higher than `enterBelow`.'),
})
const phaseSettings = z.strictObject({
  from: z.array(z.enum(phaseSources)).default(['status', 'operator']).describe('Who tells, the first that has something to tell wins.'),
  schedule: z.array(z.strictObject({
    phase: z.enum(toldPhases).describe('What the instrument does then.'),
    everyMinutes: z.number().positive().describe('How often.'),
    offsetMinutes: z.number().min(0).default(0).describe('How long after midnight the first begins.'),
    lengthSeconds: z.number().positive().describe('How long it lasts.'),
  })).optional().describe('Counted from local midnight.'),
  signal: z.strictObject({
    phase: z.enum(['purge', 'zero', 'standby']).default('purge').describe('The phase that is recognised.'),
    rules: z.array(signalRule).min(1).describe('All must hold.'),
    dwellSeconds: seconds.default(20).describe('How long they must hold, or one must fail, before it is believed.'),
    backDate: z.boolean().default(true).describe('The phase begins when the gas changed, not when the dwell was over: back by the slowest t95.'),
  }).optional().describe('A phase recognised from channel values, as oxygen near that of air.'),
  otherwise: z.enum(['unknown', 'measure']).default('unknown').describe('What holds where nobody tells.'),
  settle: z.union([z.strictObject({ timesT95: z.number().min(0).max(20).describe('Multiples of the channel’s own t95.') }), z.strictObject({ seconds: seconds.describe('The same for all channels.') })]).default({ timesT95: 2 }).describe('How long a channel waits after a purge before it counts.'),
  per: z.enum(['channel', 'stream']).default('channel').describe('`stream`: every channel waits as long as the slowest.'),
  faultsThatStop: z.array(z.enum(instrumentFaults)).default(['condensate', 'pump-flow', 'other']).describe('Faults told by the instrument that stop all readings of the stream from counting.'),
  purge: z.strictObject({ longestMinutes: z.number().positive().optional().describe('A longer purge raises an alarm.'), atLeastEveryMinutes: z.number().positive().optional().describe('No purge within this time raises an alarm.') }).prefault({})
    .describe('A purge that lasts longer, or that does not come within this time, raises an alarm.'),
})

const plantState = z.discriminatedUnion('from', [
  z.strictObject({ from: z.literal('always-running').describe('Who tells the plant state.') }),
  z.strictObject({ from: z.literal('operator') }),
  z.strictObject({ from: z.literal('status') }),
  z.strictObject({ from: z.literal('signal'), channel: id.describe('The channel that tells.'), runningAbove: z.number().describe('Above: running.'), offBelow: z.number().describe('Below: off.'), dwellSeconds: seconds.default(10).describe('How long before a change is believed.') })
    .describe('Above: running. Below `offBelow`: off. Between: shut-down coming from running, start-up coming from off.'),
])

const averaging = z.strictObject({
  blocks: z.array(blockLength).min(1).max(8).default(['PT1M', 'PT30M']).describe('Lengths of the fixed averages; each divides the day.'),
  align: z.enum(['clock', 'run']).default('clock').describe('`clock`: counted from local midnight. `run`: from the run’s start.'),
  rolling: z.array(wholeMinutes).max(6).default([]).describe('Lengths of the rolling averages, renewed each minute.'),
  validity: z.discriminatedUnion('rule', [
    z.strictObject({ rule: z.literal('fraction').describe('`fraction`: a share of the time. `quadrants`: a point in each quarter of the hour. `minutes`: so many minutes.'), minimum: z.string().regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/, 'a fraction of whole numbers as 2/3').default('2/3').describe('The share of the time that must have counted.') }),
    z.strictObject({ rule: z.literal('quadrants'), purgeIsQualityAssurance: z.boolean().describe('Whether an hour with a purge is an hour with required quality assurance: then two points 15 minutes apart do.'), minimum: z.string().regex(/^[1-9]\d{0,5}\/[1-9]\d{0,5}$/).default('2/3').describe('For lengths other than an hour.') }),
    z.strictObject({ rule: z.literal('minutes'), minimum: z.number().positive().describe('Counted minutes.') }),
  ]).default({ rule: 'fraction', minimum: '2/3' }).describe('What an average needs to be valid.'),
})

const conversions = z.strictObject({
  moisture: z.union([z.strictObject({ channel: id.describe('A channel of water vapour, vol%.') }), z.strictObject({ percent: z.number().min(0).max(95).describe('A fixed value, vol%.') })]).optional().describe('Water vapour, vol%: from a channel or a fixed value.'),
  normal: z.strictObject({ temperatureK: z.number().min(200).max(400).describe('K'), pressurekPa: z.number().min(50).max(120).describe('kPa') }).default({ temperatureK: 273.15, pressurekPa: 101.325 }).describe('Temperature and pressure to which mg/m3 are referred.'),
  oxygenChannel: id.optional().describe('The channel that refers the others to the reference oxygen. Not set: the only O2 channel of the channel’s own stream, else the only one of the station.'),
  referenceOxygen: z.number().min(0).max(20).optional().describe('vol%; not set: nothing is referred.'),
  ambientOxygen: z.number().min(20).max(21.5).default(20.95).describe('20.9 in US methods, 21 in EU texts, 20.95 physical.'),
  oxygenGuard: z.number().min(5).max(21).default(19).describe('Above this oxygen content nothing is referred: the divisor is too small.'),
  onlyAboveReference: z.boolean().default(false).describe('Correct only where the measured oxygen is above the reference.'),
  referredUnit: z.enum(['mg/m3', 'ppm']).default('mg/m3').describe('The unit of what is referred to the reference oxygen.'),
  noxAs: z.enum(['NO2', 'NO']).default('NO2').describe('Whose molar mass the mass concentration of NOx takes.'),
  applyTo: z.enum(['blocks', 'readings']).default('blocks').describe('`blocks`: average, then convert. `readings`: convert each reading, then average.'),
})

const limit = z.strictObject({
  id: id.optional().describe('A name for the alarm; formed from channel and average where not set.'),
  channel: id.describe('The channel that is limited.'),
  of: z.enum(['reading', 'block', 'rolling']).describe('What is compared: each reading, a fixed or a rolling average.'),
  average: wholeMinutes.optional().describe('For `block` and `rolling`: which length, one of those in `averaging`.'),
  kind: z.enum(['high', 'low']).default('high').describe('`high`: passed above the value. `low`: below it.'),
  value: z.number().describe('The limit.'),
  unit: z.enum(gasUnits).or(z.enum(units)).describe('The limit’s unit; the value is converted to it where that is possible.'),
  referenceOxygen: z.number().min(0).max(20).optional().describe('vol%; not set: the limit holds at the oxygen as measured.'),
  basis: z.enum(bases).default('dry').describe('For gases.'),
  deadband: z.number().min(0).default(0).describe('By how much the value must come back before the alarm goes, in the limit’s unit.'),
  onDelaySeconds: seconds.default(0).describe('How long it must be passed before the alarm is raised.'),
  offDelaySeconds: seconds.default(0).describe('How long it must be cleared before the alarm goes.'),
  priority: priority.default('medium').describe('How soon it must be answered.'),
  latched: z.boolean().default(false).describe('The alarm stays until it is reset by hand.'),
})

/** Health causes: each can be set apart; `off` silences it, and that is printed. */
export const healthCauses = [
  'condensate', 'pump-flow', 'filter', 'cell-temperature', 'mains', 'battery', 'cell-over-range', 'other-fault',
  'silence', 'lost-link', 'purge-overrun', 'purge-missing', 'coverage-at-risk', 'unparsable-lines',
] as const
export type HealthCause = (typeof healthCauses)[number]
const healthAlarm = z.strictObject({
  priority: priority.optional().describe('How soon it must be answered.'),
  onDelaySeconds: seconds.optional().describe('How long it must stand before the alarm is raised.'),
  offDelaySeconds: seconds.optional().describe('How long it must be gone before the alarm goes.'),
  latched: z.boolean().optional().describe('The alarm stays until it is reset by hand.'),
  off: z.boolean().optional().describe('Silences this cause; exports and reports say so.'),
})

const instantText = z.iso.datetime({ offset: true })
const endRule = z.union([
  z.strictObject({ afterCountedMinutes: z.number().positive().describe('When so many minutes have counted.') }),
  z.strictObject({ at: instantText.describe('At this time, with its offset.') }),
  z.strictObject({ afterMinutes: z.number().positive().describe('So many minutes after the start.') }),
])
const run = z.strictObject({
  name: z.string().max(60).optional().describe('What the run is called in exports.'),
  start: z.union([z.literal('at-once'), z.literal('operator'), z.strictObject({ at: instantText.describe('At this time, with its offset.') })]).default('at-once').describe('When it begins.'),
  end: endRule.optional().describe('Without it the operator ends the run.'),
  count: z.int().min(1).max(50).default(1).describe('How many runs follow each other.'),
  pauseMinutes: z.number().min(0).max(1440).default(0).describe('Time between them.'),
})

/** The shape of the station file, part by part; `stationFile` also holds the parts against each other. */
export const stationShape = z.strictObject({
  $schema: z.string().optional().describe('For editors that complete and check while you write.'),
  format: z.literal(1).describe('Version of the file’s form.'),
  regime: z.enum(['eu', 'us', 'custom']).default('custom').describe('Presets for what the file does not say itself; see above.'),
  station: z.strictObject({
    name: z.string().min(1).max(80).describe('Stands on screens, exports and reports.'),
    timeZone: z.string().min(1).default('UTC').describe('A named zone as Europe/Vienna.'),
    standardTime: z.boolean().default(false).describe('The zone’s standard time all year, without summer time.'),
  }),
  streams: z.array(stream).min(1).max(8).describe('One for each instrument’s line stream.'),
  channels: z.array(channel).min(1).max(64).describe('One for each quantity of a stream, and for sums of them.'),
  phases: phaseSettings.prefault({}),
  plantState: plantState.default({ from: 'always-running' }),
  run: run.prefault({}),
  clock: z.strictObject({ speed: z.number().positive().max(100_000).default(1).describe('Station seconds per real second; for demonstrations and trials, and marked as such.') }).prefault({}),
  corrections: z.strictObject({
    zero: z.enum(['none', 'last']).default('none').describe('`last`: the mean of the last purge’s or zero’s settled part is subtracted from combustion gases.'),
    span: z.record(id, z.number().positive()).default({}).describe('Channel → true value / reading, from a check with calibration gas.'),
  }).prefault({}),
  conversions: conversions.prefault({}),
  averaging: averaging.prefault({}),
  limits: z.array(limit).max(100).default([]).describe('What readings and averages are compared with.'),
  alarms: z.partialRecord(z.enum(healthCauses), healthAlarm).default({}).describe('Health alarms, each by its cause, where it is to differ from what is built in.'),
  unparsable: z.strictObject({ perMinute: z.number().positive().default(6).describe('More lines per minute than this that cannot be read raise an alarm.') }).prefault({}),
  plant: z.strictObject({
    fuel: z.string().max(60).optional().describe('For the report.'),
    duct: z.string().max(120).optional().describe('For the report.'),
    name: z.string().max(120).optional().describe('For the report.'),
  }).prefault({}),
  site: z.strictObject({ name: z.string().max(120).optional().describe('For the report.'), address: z.string().max(200).optional().describe('For the report.') }).prefault({}),
})

export type StationFile = z.infer<typeof stationShape>
export type StationFileInput = z.input<typeof stationShape>
export type StreamSettings = z.infer<typeof stream>
export type ChannelSettings = z.infer<typeof channel>
export type LimitSettings = z.infer<typeof limit>
export type PhaseSettings = StationFile['phases']
export type RunSettings = StationFile['run']
