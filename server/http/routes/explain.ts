import { z } from 'zod'
import { explainAnswer } from '../../../protocols/live/explain.ts'
import { answer } from '../../../protocols/live/requests.ts'
import { valueQuantities } from '../../../protocols/words/quantities.ts'
import { instantText, wholeNumberText } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

/** More readings than these are asked for page by page: an hour of a line a second. */
const mostReadings = 3600

const query = z.strictObject({
  block: instantText.describe('When the average begins, milliseconds since 1970 UTC.'),
  channel: z.string().min(1).max(100).describe('Channel by its id.'),
  average: z
    .string()
    .min(1)
    .max(20)
    .optional()
    .describe('Its length, ISO 8601; the longest that begins then unless told.'),
  quantity: z.enum(valueQuantities).optional().describe('The quantity; the one formed last unless told.'),
  unit: z.string().min(1).max(20).optional().describe('Where the quantity is formed in several units.'),
  kind: z.enum(['block', 'rolling']).optional().describe('Fixed block or rolling average.'),
  from: wholeNumberText(0, 999_999_999).default(0).describe('Readings are told from this one on.'),
  most: wholeNumberText(0, mostReadings)
    .default(0)
    .describe('At most so many readings; none unless told: sums by minute are told anyway.'),
})

export const explainRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/explain',
    summary: 'One average down to its raw lines: readings, zeros, sums, conversions, validity.',
    query,
    answers: {
      200: { description: 'How it comes about.', schema: explainAnswer },
      404: { description: 'There is no such average; the errors say what there is nearby.', schema: answer },
    },
    async handle({ id, query: { block, channel, average, quantity, unit, kind, from, most }, response }) {
      const found = await face.explain(id, {
        startMs: block,
        channel,
        from,
        most,
        ...(average === undefined ? {} : { average }),
        ...(quantity === undefined ? {} : { quantity }),
        ...(unit === undefined ? {} : { unit }),
        ...(kind === undefined ? {} : { kind }),
      })
      if (found === null) return refuse(response, unknownRecording(id))
      if (!found.ok) return refuse(response, found)
      response.json(found.answer)
    },
  })
