import { type AmendRequest, amendAnswer } from '../protocols/live/amend.ts'
import { type Asked, ask, recordingPath } from './answers.ts'

/** `recording` null: the running one. */
export async function amend(recording: string | null, request: AmendRequest): Promise<Asked<true>> {
  const found = await ask(amendAnswer, recordingPath(recording, 'amend'), {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  })
  return found.ok ? { ok: true, value: true } : found
}
