import { z } from 'zod'
import { answer } from '../../../protocols/live/requests.ts'
import { testAnswer } from '../../../protocols/live/test.ts'
import { refuse } from '../refusal.ts'
import { isRecordingId, type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const mostRuns = 50

const query = z.strictObject({
  runs: z
    .string()
    .transform((text) => text.split(','))
    .refine(
      (ids) => ids.length >= 2 && ids.length <= mostRuns && ids.every(isRecordingId),
      `must be 2 to ${mostRuns} recording ids with commas between, such as run-1,run-2,run-3`,
    )
    .describe('Recordings by their ids with commas between, each one run. The first gives the rules and the limits.'),
})

export const testsRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/tests',
    summary: 'A test of several runs: the mean of their run means, value by value. Can take a while.',
    query,
    answers: {
      200: { description: 'One row for each value that all runs have.', schema: testAnswer },
      404: { description: 'There is no such recording.', schema: answer },
      409: { description: 'The runs make no test together: the errors say why.', schema: answer },
    },
    async handle({ query: { runs }, response }) {
      const found = await face.test(runs)
      if (!found.ok) return refuse(response, found)
      response.json(found.answer)
    },
  })
