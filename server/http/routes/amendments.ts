import { amendAnswer, amendmentsAnswer, amendRequest } from '../../../protocols/live/amend.ts'
import { answer } from '../../../protocols/live/requests.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const amendmentsRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/amendments',
    summary: 'What amends a run, in force or taken back, and what averages were before it changed them.',
    answers: { 200: { description: 'In the order in which it was told.', schema: amendmentsAnswer } },
    async handle({ id, response }) {
      const found = await face.amendments(id)
      if (found === null) return refuse(response, unknownRecording(id))
      response.json(found)
    },
  })

export const amendRoute = (face: StationFace): Route =>
  route({
    method: 'post',
    path: '/api/recordings/:id/amend',
    summary: 'Excludes a stretch from the averages, tells a check, or takes either back; also when the run is over.',
    body: amendRequest,
    answers: {
      200: { description: 'Recorded; while a run goes on its averages follow.', schema: amendAnswer },
      400: { description: 'The stretch or check cannot be so: the errors say what is allowed.', schema: answer },
      404: { description: 'There is no such exclusion, check or channel.', schema: answer },
      409: { description: 'There is no run in this recording, or one is just beginning or ending.', schema: answer },
      507: { description: 'No room on the disk to store it; nothing was amended.', schema: answer },
    },
    async handle({ id, body, response }) {
      const found = await face.amend(id, body)
      if (found === null) return refuse(response, unknownRecording(id))
      if (!found.ok) return refuse(response, found)
      response.json(found.answer)
    },
  })
