import { z } from 'zod'
import { seriesAnswer } from '../../../protocols/live/requests.ts'
import { channelsText, inOrder, inOrderText, instantText, wholeNumberText } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const query = z
  .strictObject({
    channels: channelsText,
    value: z.enum(['asRead', 'corrected', 'referred']).default('corrected').describe('Which stage of the value.'),
    from: instantText,
    to: instantText,
    columns: wholeNumberText(1, 4000).default(600),
  })
  .refine(inOrder, inOrderText)

export const seriesRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/series',
    summary: 'A trend down-sampled to so many columns; lowest and highest of each column are kept, gaps stay null.',
    query,
    answers: { 200: { description: 'One entry per channel and column.', schema: seriesAnswer } },
    async handle({ id, query: { from, to, ...rest }, response }) {
      const series = await face.series(id, { ...rest, fromMs: from, toMs: to })
      if (series === null) return refuse(response, unknownRecording(id))
      response.json(series)
    },
  })
