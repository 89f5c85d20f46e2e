import { type AmendAnswer, type AmendRequest, amendAnswer, amendmentsAnswer } from '../protocols/live/amend.ts'
import { type Asked, ask, askByPost, recordingPath } from './answers.ts'

/** Tells it of a recording, null: of the running one. What came of it goes to `renew`: the picture is another one from then on. */
export async function amend(
  recording: string | null,
  request: AmendRequest,
  renew: (done: AmendAnswer) => void,
): Promise<Asked<true>> {
  const answer = await askByPost(amendAnswer, recordingPath(recording, 'amend'), request)
  if (!answer.ok) return answer
  renew(answer.value)
  return { ok: true, value: true }
}

/** What amends a run, in force or taken back. `recording` null: the running one. */
export const askAmendments = (recording: string | null) => ask(amendmentsAnswer, recordingPath(recording, 'amendments'))
