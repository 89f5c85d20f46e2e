import { type CompareRequest, compareAnswer, settingsAnswer } from '../../../protocols/live/compare.ts'
import { asked, recordingPath } from '../../answers.ts'

export const askSettings = (recording: string) => asked(settingsAnswer, recordingPath(recording, 'settings'))

export const askCompared = (recording: string, request: Partial<CompareRequest> & Pick<CompareRequest, 'set'>) =>
  asked(compareAnswer, recordingPath(recording, 'compare'), {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  })
