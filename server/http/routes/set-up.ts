import type { Response } from 'express'
import { answer } from '../../../protocols/live/requests.ts'
import {
  checkAnswer,
  checkRequest,
  heardAnswer,
  listenRequest,
  nothingRequest,
  portsAnswer,
  previewAnswer,
  previewRequest,
  proposalAnswer,
  schemaAnswer,
  setUpState,
  writeAnswer,
  writeRequest,
} from '../../../protocols/live/set-up.ts'
import { refuse } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { Done, SetUpFace } from '../set-up-face.ts'

const refused = {
  400: { description: 'Something asked is not allowed: the errors say what is.', schema: answer },
  409: { description: 'It cannot be done as things stand.', schema: answer },
}

function tell<T>(response: Response, done: Done<T>): void {
  if (done.ok) response.json(done.value)
  else refuse(response, done.refusal)
}

/** Setting a station up. Nothing here touches a recording; only `write` changes anything that stays. */
export const setUpRoutes = (face: SetUpFace): Route[] => [
  route({
    method: 'get',
    path: '/api/set-up',
    summary: 'The station file as it is, and when a change would apply.',
    answers: { 200: { description: 'The state.', schema: setUpState } },
    handle: ({ response }) => void response.json(face.state()),
  }),
  route({
    method: 'get',
    path: '/api/set-up/schema',
    summary: 'All settings of a station file, with what each means and what it may be.',
    answers: { 200: { description: 'A JSON Schema.', schema: schemaAnswer } },
    handle: ({ response }) => void response.json({ schema: face.schema() }),
  }),
  route({
    method: 'get',
    path: '/api/set-up/ports',
    summary: 'The serial ports of the station’s machine, as `flueledger ports`.',
    answers: { 200: { description: 'The ports, with the name to write down.', schema: portsAnswer } },
    handle: async ({ response }) => void response.json({ ports: await face.ports() }),
  }),
  route({
    method: 'post',
    path: '/api/set-up/listen',
    summary: 'Opens a source on trial. Where the station itself reads it, its own lines are shown instead.',
    body: listenRequest,
    answers: { 200: { description: 'What is heard.', schema: heardAnswer }, ...refused },
    handle: async ({ body, response }) => tell(response, await face.listen(body)),
  }),
  route({
    method: 'get',
    path: '/api/set-up/heard',
    summary: 'What the trial hears. Unasked for 20 seconds, the trial is closed.',
    answers: { 200: { description: 'The newest lines.', schema: heardAnswer } },
    handle: ({ response }) => void response.json(face.heard()),
  }),
  route({
    method: 'post',
    path: '/api/set-up/stop-listening',
    summary: 'Closes the trial.',
    body: nothingRequest,
    answers: { 200: { description: 'Closed.', schema: answer } },
    handle: async ({ response }) => {
      await face.stopListening()
      response.json({ ok: true, errors: [] })
    },
  }),
  route({
    method: 'post',
    path: '/api/set-up/propose',
    summary: 'A line profile proposed from the lines heard, as `flueledger propose`.',
    body: nothingRequest,
    answers: { 200: { description: 'The proposal, or what was tried.', schema: proposalAnswer }, ...refused },
    handle: ({ response }) => tell(response, face.propose()),
  }),
  route({
    method: 'post',
    path: '/api/set-up/preview',
    summary: 'The lines heard beside what a line profile makes of them.',
    body: previewRequest,
    answers: { 200: { description: 'Lines, values, refusals.', schema: previewAnswer } },
    handle: ({ body, response }) => void response.json(face.preview(body.profile, body.timeZone)),
  }),
  route({
    method: 'post',
    path: '/api/set-up/check',
    summary: 'Faults and warnings of a station file, path by path, and how it differs from the one that is there.',
    body: checkRequest,
    answers: { 200: { description: 'What was found.', schema: checkAnswer } },
    handle: ({ body, response }) => void response.json(face.check(body.station)),
  }),
  route({
    method: 'post',
    path: '/api/set-up/write',
    summary: 'Writes the station file and applies it: at once, or from the next run where one is going on.',
    body: writeRequest,
    answers: { 200: { description: 'Written.', schema: writeAnswer }, ...refused },
    handle: async ({ body, response }) => tell(response, await face.write(body)),
  }),
]
