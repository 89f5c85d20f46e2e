import { z } from 'zod'
import { answer } from '../../../protocols/live/requests.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'
import { sendFile } from './recording-file.ts'

const query = z.strictObject({
  format: z.enum(['csv', 'json', 'xlsx']).describe('The kind of file.'),
  decimal: z.enum(['.', ',']).default('.').describe('The decimal mark of numbers in CSV.'),
})

export const exportRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/export',
    summary: 'The averages as a file to keep.',
    query,
    answers: {
      200: { description: 'The file.', contentType: 'application/octet-stream' },
      409: { description: 'A workbook of it would be too large; the errors say what to take.', schema: answer },
      507: { description: 'No room on the disk to make it.', schema: answer },
    },
    async handle({ id, query: { format, decimal }, response }) {
      const file = await face.exportFile(id, format, decimal)
      if (file === null) return refuse(response, unknownRecording(id))
      await sendFile(file, response)
    },
  })
