/** The parts of a station file on the page *Set-up*: what each is called, and what is set there. */
export const settingGroups: Readonly<Record<string, readonly [title: string, about: string]>> = {
  $schema: ['Schema', ''],
  format: ['Form of the file', ''],
  regime: ['Regime', ''],
  station: ['Station', 'Its name and its time.'],
  streams: ['Streams', 'One for each instrument: where its lines come from, and how they are read.'],
  channels: ['Channels', 'One for each gas or quantity of a stream: unit, basis, range, response time, what it needs.'],
  phases: ['Phases', 'Who tells what the instrument does, and when a reading counts again after a purge.'],
  plantState: ['Plant state', 'Who tells whether the plant runs: only running time counts.'],
  run: ['Runs', 'When they begin and end, how many there are.'],
  clock: ['Clock', 'For demonstrations and trials.'],
  corrections: [
    'Corrections',
    'What is corrected of the instrument: zero, span, drift, gases that a cell also answers to.',
  ],
  conversions: ['Conversions', 'Moisture, normal conditions, reference oxygen.'],
  averaging: ['Averaging', 'Lengths of the averages, and what each needs to be valid.'],
  results: ['Results', 'How averages are stated and compared with limits.'],
  limits: ['Limits', 'What readings and averages are compared with. They come from the permit.'],
  alarms: ['Health alarms', 'By cause, where one is to differ from what is built in.'],
  unparsable: ['Lines that cannot be read', 'When they raise an alarm.'],
  plant: ['Plant', 'For the report.'],
  site: ['Site', 'For the report.'],
}

/** Names of settings that are not told by their key alone; by key, or by the keys that lead there. */
export const settingNames: Readonly<Record<string, string>> = {
  id: 'Name in exports',
  t95Seconds: 'Response time t95',
  timesT95: 'Times t95',
  everySeconds: 'Every',
  everyMinutes: 'Every',
  atLeastEveryMinutes: 'At least every',
  expectEverySeconds: 'A line every',
  of: 'Of what',
  off: 'Switched off',
  per: 'Waiting, per',
  'phases.from': 'Told by',
  'plantState.from': 'Told by',
  at: 'At',
  by: 'Answers to',
  noxAs: 'NOx told as',
  perMinute: 'Lines a minute',
  normal: 'Normal conditions',
  ofBlocks: 'Averages of blocks',
  'averaging.run': 'Average over the run',
  sumOf: 'Sum of channels',
}

/** Setting → the entry of the list of terms that explains it. */
export const settingTerms: Readonly<Record<string, string>> = {
  origin: 'Measured, computed',
  t95Seconds: 'Response time t95',
  settle: 'Settling',
  zero: 'Zero',
  plantState: 'Plant state',
  blocks: 'Block',
  rolling: 'Rolling average',
  validity: 'Valid',
  basis: 'Dry, wet',
  referenceOxygen: 'Reference oxygen',
  normal: 'Normal, standard conditions',
  uncertainty: '± (expanded uncertainty)',
  limits: 'Limit, verdict',
  detectionLimit: 'Below detection',
  drift: 'Drift',
  alarms: 'Alarm',
}

/** Units that the end of a key does not tell. */
export const settingUnits: Readonly<Record<string, string>> = {
  referenceOxygen: 'vol%',
  ambientOxygen: 'vol%',
  oxygenGuard: 'vol%',
  oxygenWithin: 'vol%',
  percent: 'vol%',
  moisturePlusMinus: 'vol%',
  residualWaterPercent: 'vol%',
}
/** Settings in the unit of what they belong to. */
export const inOwnUnit: readonly string[] = ['value', 'deadband', 'range', 'detectionLimit']
export const keyEndUnits: Readonly<Record<string, string>> = {
  Seconds: 's',
  Minutes: 'min',
  Percent: '%',
  K: 'K',
  kPa: 'kPa',
}

export const originWords = {
  preset: 'the regime presets it',
  'built in': 'built in',
  'line profile': 'the line profile says so',
} as const

export const title = 'All settings'
export const intro =
  'Every setting of the station file. What the steps above show stands here too: it is the same file. An empty field is not set; beside it stands what holds then.'
export const asking = 'Asking the station for its settings …'
export const search = 'Search the settings'
export const searchHint = 'by name or by words of what it does: oxygen, delay, purge'
export const top = 'At the top of the file'
export const topAbout = 'The regime, and what stands beside the parts below.'
export const notSet = 'not set'
export const choose = 'choose …'
export const yes = 'yes'
export const no = 'no'
export const none = 'none'
export const empty = 'An empty list: it is set, and holds nothing.'
export const add = 'Add'
export const setHere = 'Set it here'
export const takeOut = 'Take out'
export const unset = 'Do not set it here'
export const value = 'Its value'
export const lowest = 'lowest'
export const highest = 'highest'
export const newName = 'Another one, for'
export const jump = 'Go to the first'
export const goTo = 'Go to it'
export const atFault = (count: number): string =>
  count === 1 ? '1 setting is at fault' : `${count} settings are at fault`
export const found = (count: number, shown: number): string =>
  `${count === 1 ? '1 setting' : `${count} settings`} found${shown < count ? `; the first ${shown} are shown` : ''}.`
export const notFound = 'Nothing has that in its name or its words.'
export const inForce = (value: string, from: string): string => `Not set here. In force: ${value} (${from}).`
export const set = (count: number): string => `${count} set`
export const entries = (count: number): string => (count === 1 ? '1 entry' : `${count} entries`)
export const notKnown = 'is not known here; it is kept as it stands:'
export const doesNotFit = 'does not fit here; it is kept as it stands:'
export const entry = (number: number): string => `Entry ${number}`

/** What one entry of a list is called. */
export const entryNames: Readonly<Record<string, string>> = {
  streams: 'Stream',
  channels: 'Channel',
  limits: 'Limit',
  rules: 'Rule',
  schedule: 'Time',
  needs: 'Need',
  blocks: 'Length',
  rolling: 'Length',
  fields: 'Field',
  from: 'Teller',
}

/** The kinds of value that a setting can be written in, where no word of the schema tells them apart. */
export const valueKinds: Readonly<Record<string, string>> = {
  number: 'a number',
  integer: 'a whole number',
  string: 'a text',
}
export const listKind = 'a list'
export const above = (least: number): string => `above ${least}`
export const aboveAtMost = (least: number, most: number): string => `above ${least}, at most ${most}`
export const orMore = (least: number): string => `${least} or more`
export const between = (least: number, most: number): string => `${least} to ${most}`
export const atMost = (most: number): string => `at most ${most}`
/** What the schema says of lengths of time, and what is shown in its place: they are read and typed in words. */
export const lengthHelp: readonly (readonly [told: RegExp, shown: string])[] = [
  [/^ISO 8601:/, 'As'],
  [/ISO 8601 as/, 'as'],
]
/** A calendar day as the length of an average. */
export const oneDay = '1 day'
