import { z } from 'zod'
import { marksAnswer } from '../../../protocols/live/requests.ts'
import { averageText, channelsText, inOrder, inOrderText, instantText, wholeNumberText } from '../query-values.ts'
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
    flagsTo: instantText
      .optional()
      .describe('The logbook of the stretch is told up to this instant, folded into `columns`; left out: it is not.'),
    columns: wholeNumberText(1, 4000).default(180),
  })
  .refine(inOrder, inOrderText)

export const marksRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/marks',
    summary:
      'What lies under and over the traces of charts, in columns: phases, what the logbook holds (from when to when, how many entries, the sign of the one that matters most), and of blocks the means of the channels named, each at the stage of the value under which it is named.',
    query,
    answers: {
      200: { description: 'The phases that touch the stretch, the blocks that start in it.', schema: marksAnswer },
    },
    async handle({ id, query, response }) {
      const { from, to, average, asRead = [], corrected = [], referred = [], flagsTo = from, columns } = query
      const marks = await face.marks(id, {
        fromMs: from,
        toMs: to,
        average,
        flagsToMs: Math.min(flagsTo, to),
        columns,
        channels: { asRead, corrected, referred },
      })
      if (marks === null) return refuse(response, unknownRecording(id))
      response.json(marks)
    },
  })
