import { z } from 'zod'
import { choice, choiceOf } from '../../../protocols/instrument/choice.ts'
import { lineProfile } from '../../../protocols/instrument/profile.ts'
import { alarmTexts } from '../../../protocols/words/alarm-texts.ts'
import { bases, basisWords, originNames, origins, physicalQuantities } from '../../../protocols/words/quantities.ts'
import { species, speciesName } from '../../../protocols/words/species.ts'
import { units, unitWords } from '../../../protocols/words/units.ts'
import { averaging, conversions, limit } from './averages-shape.ts'
import { corrections } from './corrections-shape.ts'
import { lineSource } from './line-sources.ts'
import { phaseSettings, plantState } from './phases-shape.ts'
import { resultSettings } from './results-shape.ts'
import { id, priority, seconds } from './setting-values.ts'
import { channelUncertainty } from './uncertainty-shape.ts'

const stream = z.strictObject({
  id: id
    .describe('The stream’s name in exports and on screens: lower-case letters, digits, - and _.')
    .meta({ title: 'Name in exports' }),
  source: lineSource.describe('Where the lines come from.'),
  profile: z
    .union([lineProfile, z.string().min(1).meta({ title: 'in a file of its own' })])
    .describe('A line profile, inline, or the name of a file beside the station file.'),
  poll: z
    .strictObject({
      send: z.string().min(1).describe('Sent as it stands; \\r and \\n are line ends.'),
      everySeconds: seconds.min(0.05).describe('How often it is sent.').meta({ title: 'Every' }),
    })
    .optional()
    .describe('For instruments that only answer when asked; serial and TCP.'),
  expectEverySeconds: z
    .number()
    .positive()
    .max(86_400)
    .describe('The step at which lines are expected; it sets what a gap is and when the stream is silent.')
    .meta({ title: 'A line every' }),
  timeFrom: choice({ arrival: 'when the line arrived', line: 'the time in the line' })
    .default('arrival')
    .describe('Which time orders and keys the readings.')
    .meta({ title: 'Time of a reading' }),
  stamp: choice({ start: 'at the start', end: 'at the end' })
    .default('start')
    .describe('Whether the stamp stands at the start or the end of what it represents.')
    .meta({ title: 'The time stands' }),
  dilution: z
    .number()
    .min(1)
    .max(10_000)
    .optional()
    .describe('A fixed dilution of the sample that is not in the values: they are multiplied by it.'),
})

const need = z.strictObject({
  channel: id.describe('The supporting channel.'),
  between: z
    .tuple([z.number(), z.number()])
    .describe('Lowest and highest value at which this channel’s readings count.'),
})
const channel = z.strictObject({
  id: id
    .describe('The channel’s name in exports: lower-case letters, digits, - and _.')
    .meta({ title: 'Name in exports' }),
  name: z.string().max(40).optional().describe('The name on screens; the formula of the gas where it is not set.'),
  stream: id.optional().describe('The stream that brings it.'),
  field: z.string().min(1).optional().describe('The profile’s field.'),
  sumOf: z
    .array(id)
    .min(1)
    .max(4)
    .optional()
    .describe('In place of stream and field: the sum of other gas channels in ppm, as NOx from NO and NO₂.')
    .meta({ title: 'Sum of channels' }),
  species: choiceOf(species, Object.fromEntries(species.map((each) => [each, speciesName(each)])))
    .optional()
    .describe('The gas. A channel has a species or a quantity.')
    .meta({ title: 'Gas' }),
  quantity: z.enum(physicalQuantities).optional().describe('What is measured, where it is no gas.'),
  unit: choiceOf(units, unitWords).describe(
    'The unit in which the instrument writes it; taken from the profile where the profile says it.',
  ),
  basis: choiceOf(bases, basisWords)
    .default('dry')
    .describe('Whether the gas is measured dry (behind a cooler) or wet.'),
  origin: choiceOf(origins, originNames)
    .default('measured')
    .describe(
      'What the instrument works out from others is never corrected by us. Taken from the profile where not set.',
    ),
  range: z
    .tuple([z.number(), z.number()])
    .optional()
    .describe('Below low − 5 % of the span, or above high, a reading is out of range.'),
  t95Seconds: seconds
    .default(0)
    .describe('Response time to 95 % of a step, the slower of up and down.')
    .meta({ title: 'Response time t95' }),
  selfZeroing: z
    .boolean()
    .default(false)
    .describe(
      'The instrument zeroes this cell by itself: no purge zero is subtracted again. Taken from the profile where not set.',
    ),
  diluted: z
    .boolean()
    .default(true)
    .describe(
      'In a stream whose sample is diluted: whether that goes for this cell too; `false` where it sees the sample as it is. Taken from the profile where not set.',
    ),
  referenceOxygen: z
    .number()
    .min(0)
    .max(20)
    .optional()
    .describe(
      'The instrument has already referred this value to this oxygen content, vol%: it is not converted again.',
    ),
  needs: z
    .array(need.meta({ title: 'Need' }))
    .default([])
    .describe(
      'Supporting channels and the range in which they must be; one of another stream supports until that has missed three lines.',
    ),
  detectionLimit: z
    .number()
    .positive()
    .optional()
    .describe(
      'The smallest value that the instrument tells from zero, in the channel’s unit; not set: averages carry no detection flag.',
    ),
  decimals: z.int().min(0).max(6).optional().describe('Decimals on screens and in reports.'),
  uncertainty: channelUncertainty
    .optional()
    .describe('What the instrument’s papers say of this channel, for the uncertainty of its means.'),
})

/** Health causes: each can be set apart; `off` silences it, and that is printed. */
export const healthCauses = [
  'condensate',
  'pump-flow',
  'filter',
  'cell-temperature',
  'mains',
  'battery',
  'cell-over-range',
  'other-fault',
  'silence',
  'lost-link',
  'purge-overrun',
  'purge-missing',
  'coverage-at-risk',
  'unparsable-lines',
] as const
export type HealthCause = (typeof healthCauses)[number]
const causeTitles = Object.fromEntries(healthCauses.map((cause) => [cause, alarmTexts[cause].title]))
const healthAlarm = z.strictObject({
  priority: priority.optional().describe('How soon it must be answered.'),
  onDelaySeconds: seconds.optional().describe('How long it must stand before the alarm is raised.'),
  offDelaySeconds: seconds.optional().describe('How long it must be gone before the alarm goes.'),
  latched: z.boolean().optional().describe('The alarm stays until it is reset by hand.'),
  off: z
    .boolean()
    .optional()
    .describe('Silences this cause; exports and reports say so.')
    .meta({ title: 'Switched off' }),
})

const instantText = z.iso.datetime({ offset: true })
export const endRule = z.union([
  z
    .strictObject({
      afterCountedMinutes: z
        .number()
        .positive()
        .describe('When so many minutes have counted, in the first of several streams.'),
    })
    .meta({ title: 'once so many minutes have counted' }),
  z.strictObject({ at: instantText.describe('At this time, with its offset.') }).meta({ title: 'at a time' }),
  z
    .strictObject({ afterMinutes: z.number().positive().describe('So many minutes after the start.') })
    .meta({ title: 'so many minutes after its start' }),
])
const run = z.strictObject({
  name: z.string().max(60).optional().describe('What the run is called in exports.'),
  start: z
    .union([
      z.literal('at-once').meta({ title: 'at once, with the station' }),
      z.literal('operator').meta({ title: 'by hand' }),
      z.strictObject({ at: instantText.describe('At this time, with its offset.') }).meta({ title: 'at a time' }),
    ])
    .default('at-once')
    .describe('When it begins.'),
  end: endRule.optional().describe('Without it the operator ends the run.'),
  count: z
    .int()
    .min(1)
    .max(50)
    .default(1)
    .describe('How many runs follow each other.')
    .meta({ title: 'Number of runs' }),
  pauseMinutes: z.number().min(0).max(1440).default(0).describe('Time between them.'),
})

/** The shape of the station file, part by part; `stationFile` also holds the parts against each other. */
export const stationShape = z.strictObject({
  $schema: z
    .string()
    .optional()
    .describe('For editors that complete and check while you write.')
    .meta({ title: 'Schema' }),
  format: z.literal(1).describe('Version of the file’s form.'),
  regime: choice({ eu: 'EU: half-hours, mg/m³', us: 'US: hours, ppm', custom: 'presets nothing' })
    .default('custom')
    .describe('Presets for what the file does not say itself.'),
  station: z
    .strictObject({
      name: z.string().min(1).max(80).describe('Stands on screens, exports and reports.'),
      timeZone: z.string().min(1).default('UTC').describe('A named zone as Europe/Vienna.'),
      standardTime: z.boolean().default(false).describe('The zone’s standard time all year, without summer time.'),
    })
    .describe('Its name and its time.'),
  streams: z
    .array(stream.meta({ title: 'Stream' }))
    .min(1)
    .max(8)
    .describe('One for each instrument’s line stream: where its lines come from, and how they are read.')
    .meta({ title: 'Streams' }),
  channels: z
    .array(channel.meta({ title: 'Channel' }))
    .min(1)
    .max(64)
    .describe(
      'One for each quantity of a stream, and for sums of them: unit, basis, range, response time, what it needs.',
    )
    .meta({ title: 'Channels' }),
  phases: phaseSettings
    .prefault({})
    .describe('Who tells what the instrument does, and when a reading counts again after a purge.'),
  plantState: plantState
    .default({ from: 'always-running' })
    .describe('Who tells whether the plant runs: only running time counts.'),
  run: run.prefault({}).describe('When runs begin and end, how many there are.').meta({ title: 'Runs' }),
  clock: z
    .strictObject({
      speed: z
        .number()
        .positive()
        .max(100_000)
        .default(1)
        .describe('Station seconds per real second; for demonstrations and trials, and marked as such.'),
    })
    .prefault({})
    .describe('For demonstrations and trials.'),
  corrections: corrections
    .prefault({})
    .describe('What is corrected of the instrument: zero, span, drift, gases that a cell also answers to.'),
  conversions: conversions.prefault({}).describe('Moisture, normal conditions, reference oxygen.'),
  averaging: averaging.prefault({}).describe('Lengths of the averages, and what each needs to be valid.'),
  results: resultSettings.prefault({}),
  limits: z
    .array(limit.meta({ title: 'Limit' }))
    .max(100)
    .default([])
    .describe('What readings and averages are compared with. They come from the permit.'),
  alarms: z
    .partialRecord(choiceOf(healthCauses, causeTitles), healthAlarm)
    .default({})
    .describe('Health alarms, each by its cause, where it is to differ from what is built in.')
    .meta({ title: 'Health alarms' }),
  unparsable: z
    .strictObject({
      perMinute: z
        .number()
        .positive()
        .default(6)
        .describe('More lines per minute than this that cannot be read raise an alarm.')
        .meta({ title: 'Lines a minute' }),
    })
    .prefault({})
    .describe('When lines that cannot be read raise an alarm.')
    .meta({ title: 'Lines that cannot be read' }),
  plant: z
    .strictObject({
      fuel: z.string().max(60).optional().describe('For the report.'),
      duct: z.string().max(120).optional().describe('For the report.'),
      name: z.string().max(120).optional().describe('For the report.'),
      method: z
        .string()
        .max(300)
        .optional()
        .describe(
          'By which method it is measured, and why it may be: it covers this fuel and use, its equivalence was shown, or the authority consents.',
        ),
    })
    .prefault({})
    .describe('For the report.'),
  site: z
    .strictObject({
      name: z.string().max(120).optional().describe('For the report.'),
      address: z.string().max(200).optional().describe('For the report.'),
    })
    .prefault({})
    .describe('For the report.'),
})

export type StationFile = z.infer<typeof stationShape>
export type StationFileInput = z.input<typeof stationShape>
export type StreamSettings = z.infer<typeof stream>
export type ChannelSettings = z.infer<typeof channel>
export type LimitSettings = z.infer<typeof limit>
export type PhaseSettings = StationFile['phases']
export type RunSettings = StationFile['run']
