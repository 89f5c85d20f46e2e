import { compareAnswer, compareRequest } from '../../../protocols/live/compare.ts'
import { answer } from '../../../protocols/live/requests.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const compareRoute = (face: StationFace): Route =>
  route({
    method: 'post',
    path: '/api/recordings/:id/compare',
    summary: 'What other settings would give, block by block. Nothing stored changes. Can take a while.',
    body: compareRequest,
    answers: {
      200: { description: 'Both averages of each block, and their difference.', schema: compareAnswer },
      400: { description: 'A setting cannot be so: the errors say what is allowed.', schema: answer },
    },
    async handle({ id, body, response }) {
      const found = await face.compare(id, body)
      if (found === null) return refuse(response, unknownRecording(id))
      if (!found.ok) return refuse(response, found)
      response.json(found.answer)
    },
  })
