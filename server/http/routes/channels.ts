import { channelsAnswer } from '../../../protocols/live/requests.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

export const channelsRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/channels',
    summary: 'What a recording holds: its channels with unit and basis, by the settings stored in it.',
    answers: { 200: { description: 'The channels, in the order of the station file.', schema: channelsAnswer } },
    async handle({ id, response }) {
      const channels = await face.channels(id)
      if (channels === null) return refuse(response, unknownRecording(id))
      response.json({ channels })
    },
  })
