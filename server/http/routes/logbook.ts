import { logbookAnswer } from '../../../protocols/live/requests.ts'
import { sendList } from '../json-list.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const logbookRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/logbook',
    summary: 'Notes, alarms, events and what operators did.',
    answers: { 200: { description: 'The entries in their order.', schema: logbookAnswer } },
    async handle({ id, response }) {
      const entries = await face.logbook(id)
      if (entries === null) return refuse(response, unknownRecording(id))
      await sendList(response, 'entries', entries)
    },
  })
