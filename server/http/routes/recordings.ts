import { recordingsAnswer } from '../../../protocols/live/requests.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const recordingsRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings',
    summary: 'The recordings of this station.',
    answers: { 200: { description: 'One summary each.', schema: recordingsAnswer } },
    handle({ response }) {
      response.json({ recordings: face.recordings() })
    },
  })
