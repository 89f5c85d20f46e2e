import { z } from 'zod'
import { blocksAnswer } from '../../../protocols/live/requests.ts'
import { valueQuantities } from '../../../protocols/words/quantities.ts'
import { sendList } from '../json-list.ts'
import { averageText, inOrder, inOrderText, instantText } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const query = z
  .strictObject({
    kind: z.enum(['block', 'rolling']).default('block').describe('Fixed blocks or rolling averages.'),
    average: averageText.optional(),
    channel: z.string().min(1).max(100).optional().describe('One channel by its id.'),
    quantity: z.enum(valueQuantities).optional().describe('One quantity, such as at_reference_oxygen.'),
    from: instantText.optional(),
    to: instantText.optional(),
  })
  .refine(inOrder, inOrderText)

export const blocksRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/blocks',
    summary: 'Averages with coverage, validity and reasons; `current` stands for the running recording.',
    query,
    answers: { 200: { description: 'The rows that fit, in their order.', schema: blocksAnswer } },
    async handle({ id, query: { from, to, ...rest }, response }) {
      const rows = await face.blocks(id, { ...rest, fromMs: from, toMs: to })
      if (rows === null) return refuse(response, unknownRecording(id))
      await sendList(response, 'rows', rows)
    },
  })
