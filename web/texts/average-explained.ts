import { html, nothing } from 'lit'
import type { Part } from './part.ts'

/** Where an average comes from, down to its lines. */
export const title = 'Where this number comes from'
export const goingThrough = 'The station goes through its recording …'
export const formedNow = 'formed just now from the lines: the block is still running'
export const asStored = 'worked out anew from the lines: as stored'
export const differs = (difference: string): string => `worked out anew from the lines: ${difference}`
export const byVersion = (version: string): string => `(Flueledger ${version})`
export const validity = (state: string, rule: string): string => `${state}. Its rule: ${rule}`
export const wasUntil = (time: string, mean: string, state: string, reason: string): string =>
  `Until ${time} it was ${mean}, ${state}. ${reason}`
export const none = 'none'
export const newestSeal = (run: string, seal: Part) => html`Recording ${run}; newest seal ${seal}`

export const stretches = 'What the time was spent on'
export const counts = 'counts'
export const doesNotCount = (reason: string): string => `does not count: ${reason}`
export const withReadings = (said: string, readings: string): string => `${said}, ${readings} readings`

export const stepByStep = 'Step by step'
export const correctedFirst = (formula: string, channels: readonly string[]): string =>
  `A reading is corrected first: ${formula}. It counts where ${channels.join(', ')} ${channels.length > 1 ? 'all count' : 'counts'}.`
export const source = (source: string): string => `Source: ${source}`

export const sums = 'Sums by minute'
export const sumsOf = (minutes: string): string => `Sums by minute: ${minutes} minutes`
export const minute = 'Minute'
export const countedSeconds = 'Counted, s'
export const sumOf = (channel: string, from: string): string => `Σ ${channel} · s, ${from}`
export const laneWords = { raw: 'as read', corrected: 'corrected', converted: 'converted' } as const
export const lines = 'Lines'
export const sum = 'sum'

export const rawLines = (readings: string): string => `Raw lines: ${readings} readings`
export const lookedUp = 'The lines are looked up …'
export const earlierLines = 'Earlier lines'
export const laterLines = 'Later lines'
export const place = (from: string, to: string, all: string): string => `${from} to ${to} of ${all}`
export const readings = 'Readings with their raw lines'
export const line = (number: number): string => `line ${number}`
export const weighs = (seconds: number): string => `weighs ${seconds} s`

export const checkWords = { zero: 'Zero check', span: 'Span check' } as const
export const check = (
  kind: string,
  time: string,
  gas: string,
  expected: string,
  response: string,
  by: string | null,
): string =>
  `${kind} of ${time} with ${gas}: the gas holds ${expected}, shown ${response}${by === null ? '' : `, told by ${by}`}`
export const zeros = 'Zeros subtracted'
export const zeroOfCheck = (check: string): string => `of a check. ${check}`
export const zeroOfReadings = (
  count: number,
  beyond: { readonly low: string; readonly high: string } | null,
  first: Part,
  last: Part,
  ended: string,
) =>
  html`mean of ${count} readings${beyond ? `, those beyond ${beyond.low} and ${beyond.high} taken as that` : nothing}, lines ${first} to ${last}; the purge or zero ended ${ended}`
export const zeroLine =
  'On the line between two: first + (second − first) · (time − middle of the first) / (middle of the second − middle of the first).'
export const zeroEnded = (time: string): string => `the zero that ended ${time}`
export const onTheLine = (first: string, next: string): string =>
  `on the line from ${first} to the one that ended ${next}`
export const tooNear = (first: string, next: string): string =>
  `${first}; the next, which ended ${next}, lies too near to be corrected for`
export const held = (first: string): string => `${first}; no zero after it is known`

export const spans = 'Span factors from checks'
export const spanFormula =
  '1 / sensitivity; sensitivity = (shown − (zero shown − zero gas)) / gas; between two checks on the line between theirs, at the start of each minute.'
export const zeroTakenOff = (check: string): string => `; zero taken off: ${check}`

export const crossSensitivity = 'Cross-sensitivity'
export const cellShows = (channel: string, sum: string, solved: Part) =>
  html`The cell of ${channel} shows ${sum}; ${solved}`
export const afterItsOwn = 'Each value after its own zero, span and dilution.'

export const madeOf = (uncertainty: string): string => `± ${uncertainty}: what it is made of`
export const addedUp = 'Standard uncertainties, added by their squares and doubled (k = 2).'
export const formedOf = (count: number): string => `Formed of ${count} blocks`
export const leftOut = (reasons: string): string => `left out: ${reasons}`
