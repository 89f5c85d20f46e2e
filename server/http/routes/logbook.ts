import { z } from 'zod'
import { entryGroups, logbookAnswer, logbookMost } from '../../../protocols/live/requests.ts'
import { sendList } from '../json-list.ts'
import { inOrder, inOrderText, instantText, wholeNumberText } from '../query-values.ts'
import { refuse, unknownRecording } from '../refusal.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

const query = z
  .strictObject({
    from: instantText.optional(),
    to: instantText.optional(),
    group: z.enum(entryGroups).default('all').describe('`event`: all that is neither a note nor an alarm.'),
    most: wholeNumberText(1, logbookMost)
      .optional()
      .describe(
        'So many of the newest, and what else happened at the instant of the oldest of them; all unless given.',
      ),
    flagged: z
      .literal('1')
      .optional()
      .describe('Only what is worth a flag over the charts; with `most`, what matters most of it.'),
  })
  .refine(inOrder, inOrderText)

export const logbookRoute = (face: StationFace): Route =>
  route({
    method: 'get',
    path: '/api/recordings/:id/logbook',
    summary: 'Notes, alarms, events and what operators did.',
    query,
    answers: {
      200: { description: 'The entries in their order, and how many more there are.', schema: logbookAnswer },
    },
    async handle({ id, query: { from, to, group, most = Number.MAX_SAFE_INTEGER, flagged }, response }) {
      const found = await face.logbook(id, { fromMs: from, toMs: to, group, most, flagged: flagged !== undefined })
      if (found === null) return refuse(response, unknownRecording(id))
      await sendList(response, 'entries', found.entries, { left: found.left })
    },
  })
