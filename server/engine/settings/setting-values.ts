import { z } from 'zod'
import { durationMs } from '../../../protocols/words/time.ts'

export const id = z
  .string()
  .regex(/^[a-z0-9][a-z0-9_-]{0,39}$/, 'an id is lower-case letters, digits, - and _, at most 40')
  .describe('Lower-case letters, digits, - and _.')
export const seconds = z.number().min(0).max(86_400)
export const wholeMinutes = z
  .string()
  .refine((text) => durationMs(text) !== null, 'a length of whole minutes as ISO 8601: PT1M, PT30M, PT1H')
  .meta({ description: 'ISO 8601: PT1M, PT30M, PT1H.', examples: ['PT1M', 'PT30M', 'PT1H'] })
export const blockLength = wholeMinutes.refine(
  (text) => 86_400_000 % (durationMs(text) ?? 7) === 0,
  'a block’s length must divide the day (PT1M, PT6M, PT10M, PT30M, PT1H …)',
)
/** Which channel a value of a record belongs to. */
export const channelKey = id.meta({ title: 'Channel' })
export const priority = z.enum(['low', 'medium', 'high'])
