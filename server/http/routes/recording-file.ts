import { createReadStream } from 'node:fs'
import { stat } from 'node:fs/promises'
import { pipeline } from 'node:stream/promises'
import type { Response } from 'express'
import { z } from 'zod'
import { answer, removal } from '../../../protocols/live/requests.ts'
import { sqliteType } from '../admission.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, recordingId, route } from '../route.ts'
import type { ExportedFile, Outcome, StationFace } from '../station-face.ts'

/** Sends a file and gives it back, whether the reader stayed to the end or not. */
export async function sendFile(file: ExportedFile, response: Response): Promise<void> {
  try {
    const { size } = await stat(file.path)
    response.attachment(file.name)
    response.setHeader('content-type', file.contentType)
    response.setHeader('content-length', size)
    await pipeline(createReadStream(file.path), response)
  } finally {
    file.release()
  }
}

const tell = (response: Response, outcome: Outcome): void => {
  if (outcome.ok) response.json({ ok: true, errors: [] })
  else refuse(response, outcome)
}

const answers = {
  200: { description: 'Done.', schema: answer },
  400: { description: 'Something asked is not allowed: the errors say what is.', schema: answer },
  404: { description: 'There is no such recording.', schema: answer },
  409: { description: 'It cannot be done as things stand.', schema: answer },
}

export const recordingFileRoutes = (face: StationFace): readonly Route[] => [
  route({
    method: 'get',
    path: '/api/recordings/:id/file',
    summary:
      'The recording itself as one file, also while it is written: for keeping, and for those who want to recompute it.',
    answers: { 200: { description: 'An SQLite file.', contentType: sqliteType } },
    async handle({ id, response }) {
      const file = await face.recordingFile(id)
      if (file === null) return refuse(response, unknownRecording(id))
      await sendFile(file, response)
    },
  }),
  route({
    method: 'post',
    path: '/api/recordings',
    summary: `A recording that is brought along: its bytes as ${sqliteType}. Taken in only where its seals hold.`,
    bodyType: sqliteType,
    query: z.strictObject({ name: recordingId.describe('What it is to be called here.') }),
    answers,
    async handle({ query: { name }, response }) {
      if (!response.req.headers['content-type']?.startsWith(sqliteType))
        return refuse(response, { status: 415, errors: [`Content-Type: a recording is sent as ${sqliteType}`] })
      const size = Number(response.req.headers['content-length'])
      if (!(size > 0))
        return refuse(response, { status: 411, errors: ['Content-Length: how long the file is must be told'] })
      tell(response, await face.takeInRecording(name, response.req, size))
    },
  }),
  route({
    method: 'post',
    path: '/api/recordings/:id/removal',
    summary: 'Removes a recording for good; never the one that is being written.',
    body: removal,
    answers,
    async handle({ id, body, response }) {
      if (body.confirm !== id)
        return refuse(response, {
          status: 400,
          errors: [`confirm: must be the recording’s own name, ${JSON.stringify(id)}; nothing was removed`],
        })
      tell(response, await face.removeRecording(id, body.by))
    },
  }),
]
