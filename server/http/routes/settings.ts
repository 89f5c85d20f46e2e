import { settingsAnswer } from '../../../protocols/live/compare.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const settingsRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/settings',
    summary: 'The settings that a recording was made with.',
    answers: { 200: { description: 'As a station file has them, defaults filled in.', schema: settingsAnswer } },
    async handle({ id, response }) {
      const answer = await face.settings(id)
      if (answer === null) return refuse(response, unknownRecording(id))
      response.json(answer)
    },
  })
