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

export const originWords = {
  preset: 'the regime presets it',
  'built in': 'built in',
  'line profile': 'the line profile says so',
} as const

export const title = 'All settings'
export const intro =
  'Every setting of the station file, those of the steps above too. An empty field is not set; beside it stands what holds then.'
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
/** `of`: what is named, as a channel. */
export const newName = (of: string): string => `${of} to be added`
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
/** What one entry of a list is called where its schema does not say it. */
export const entryWord = 'Entry'
export const entry = (word: string, number: number): string => `${word} ${number}`
export const inFile = 'In the station file:'

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
