import { z } from 'zod'
import { marksAnswer } from '../../../protocols/live/requests.ts'
import { averageText, channelsText, inOrder, inOrderText, instantText } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const query = z
  .strictObject({
    from: instantText,
    to: instantText,
    average: averageText.optional().describe('Length of the blocks whose means are told; left out: none are.'),
    asRead: channelsText.optional(),
    corrected: channelsText.optional(),
    referred: channelsText.optional(),
  })
  .refine(inOrder, inOrderText)

export const marksRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/marks',
    summary:
      'What lies under and over the traces of charts, in columns: phases, and of blocks the means of the channels named, each at the stage of the value under which it is named.',
    query,
    answers: {
      200: { description: 'The phases that touch the stretch, the blocks that start in it.', schema: marksAnswer },
    },
    async handle({ id, query: { from, to, average, asRead = [], corrected = [], referred = [] }, response }) {
      const marks = await face.marks(id, {
        fromMs: from,
        toMs: to,
        average,
        channels: { asRead, corrected, referred },
      })
      if (marks === null) return refuse(response, unknownRecording(id))
      response.json(marks)
    },
  })
