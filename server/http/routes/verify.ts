import { verifyAnswer } from '../../../protocols/live/requests.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const verifyRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/verify',
    summary: 'Whether seals and order hold and a replay gives the stored blocks. Can take a while.',
    answers: { 200: { description: 'The three findings apart.', schema: verifyAnswer } },
    async handle({ id, response }) {
      const found = await face.verify(id)
      if (found === null) return refuse(response, unknownRecording(id))
      response.json(found)
    },
  })
