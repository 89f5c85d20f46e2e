import type { Response } from 'express'
import { actionRequest, answer, runRequest } from '../../../protocols/live/requests.ts'
import { refuse } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { Outcome, StationFace } from '../station-face.ts'

const answers = {
  200: { description: 'Done, and stored.', schema: answer },
  400: { description: 'Something asked is not allowed: the errors say what is.', schema: answer },
  404: { description: 'What it is about does not exist.', schema: answer },
  409: { description: 'It cannot be done as things stand.', schema: answer },
  507: { description: 'The disk does not hold it: the errors say whether it is in force.', schema: answer },
}

function tell(response: Response, outcome: Outcome): void {
  if (outcome.ok) response.json({ ok: true, errors: [] })
  else refuse(response, outcome)
}

export const actionsRoute = (face: StationFace): Route =>
  route({
    method: 'post',
    path: '/api/actions',
    summary: 'What an operator does: acknowledge, shelve, note, tell a phase or the plant state.',
    body: actionRequest,
    answers,
    handle: async ({ body, response }) => tell(response, await face.act(body)),
  })

export const runRoute = (face: StationFace): Route =>
  route({
    method: 'post',
    path: '/api/run',
    summary: 'Starts, plans, ends or calls off a run.',
    body: runRequest,
    answers,
    handle: async ({ body, response }) => tell(response, await face.run(body)),
  })
