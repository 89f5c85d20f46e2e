import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import type { ExportTarget } from './export-recording.ts'

/** Work that would hold up the recording for too long, done in a thread of its own on a reading connection. */
export type LongWork =
  | { readonly work: 'verify'; readonly path: string }
  | { readonly work: 'export'; readonly path: string; readonly target: ExportTarget }
export type LongWorkResult<W extends LongWork> = W extends { work: 'verify' } ? VerifyAnswer : string[]
export type LongWorkMessage =
  | { readonly ok: true; readonly result: VerifyAnswer | string[] }
  | { readonly ok: false; readonly error: string }
