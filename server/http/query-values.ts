import { z } from 'zod'
import { anyWholeRun, averageLengthMs } from '../../protocols/words/time.ts'

/** The instants that a date can hold, ms since 1970. */
export const latestMs = 8.64e15

/** Milliseconds since 1970 UTC, as text. */
export const instantText = z
  .string()
  .regex(/^-?\d{1,16}(?:\.\d+)?$/, 'must be milliseconds since 1970 UTC, such as 1795662660000')
  .transform(Number)
  .refine((ms) => Math.abs(ms) <= latestMs, 'lies beyond the instants that a date can hold')
  .describe('Milliseconds since 1970 UTC.')

/** A whole number within bounds, as text. */
export const wholeNumberText = (least: number, most: number) =>
  z
    .string()
    .regex(/^\d{1,9}$/, `must be a whole number from ${least} to ${most}`)
    .transform(Number)
    .refine((value) => value >= least && value <= most, `must be a whole number from ${least} to ${most}`)
    .describe(`A whole number from ${least} to ${most}.`)

export const averageText = z
  .string()
  .refine(
    (text) => text === anyWholeRun || averageLengthMs(text) !== null,
    'must be a length in hours and whole minutes, such as PT30M, PT1H or PT24H; P1D for the calendar day, run for the whole run',
  )
  .describe('Length of the average, ISO 8601: PT30M, PT1H, P1D; `run`: the whole run.')

const mostChannels = 64
/** `co,o2` → both ids. */
export const channelsText = z
  .string()
  .transform((text) => text.split(','))
  .refine(
    (ids) => ids.length <= mostChannels && ids.every((id) => id.length > 0 && id.length <= 100),
    `must be 1 to ${mostChannels} channel ids with commas between, such as co,o2`,
  )
  .describe('Channel ids with commas between.')

/** `from` and `to`, where both are given, in their order. */
export const inOrder = ({ from, to }: { from?: number | undefined; to?: number | undefined }): boolean =>
  from === undefined || to === undefined || from < to
export const inOrderText = { path: ['to'], message: 'must be later than from' }
