import { z } from 'zod'
import { phasesAnswer } from '../../../protocols/live/requests.ts'
import { sendList } from '../json-list.ts'
import { inOrder, inOrderText, instantText, latestMs } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const query = z.strictObject({ from: instantText.optional(), to: instantText.optional() }).refine(inOrder, inOrderText)

export const phasesRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/phases',
    summary: 'Spans of measuring, purging, settling and so on.',
    query,
    answers: { 200: { description: 'The spans that touch the stretch asked for.', schema: phasesAnswer } },
    async handle({ id, query: { from = -latestMs, to = latestMs }, response }) {
      const spans = await face.phases(id, from, to)
      if (spans === null) return refuse(response, unknownRecording(id))
      await sendList(response, 'spans', spans)
    },
  })
