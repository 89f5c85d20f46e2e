import { type CompareRequest, compareAnswer, settingsAnswer } from '../../../protocols/live/compare.ts'
import { ask, recordingPath } from '../../answers.ts'

export const askSettings = (recording: string) => ask(settingsAnswer, recordingPath(recording, 'settings'))

export const askCompared = (recording: string, request: Partial<CompareRequest> & Pick<CompareRequest, 'set'>) =>
  ask(compareAnswer, recordingPath(recording, 'compare'), {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  })
