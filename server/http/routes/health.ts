import { healthAnswer } from '../../../protocols/live/requests.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const healthRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/healthz',
    summary: 'Whether the recording and every stream is fresh.',
    answers: {
      200: { description: 'All is well.', schema: healthAnswer },
      503: { description: 'Something is not: the reasons say what.', schema: healthAnswer },
    },
    handle({ response }) {
      const health = face.health()
      response.status(health.ok ? 200 : 503).json(health)
    },
  })
