import type { Batch } from './batch.ts'
import type { RecordingHeader } from './recording.ts'
import type { Stored, StoreOutcome } from './recording-file.ts'
import type { RecordingTroubleCode } from './trouble.ts'

/** What the writer's thread is asked, one at a time; each request has one answer. */
export type WriterRequest =
  | { readonly ask: 'create'; readonly path: string; readonly token: string; readonly header: RecordingHeader }
  | { readonly ask: 'resume' | 'reopen'; readonly path: string; readonly token: string }
  | { readonly ask: 'store'; readonly batch: Batch }
  | { readonly ask: 'close' }

export type WriterAnswer =
  | { readonly answer: 'opened'; readonly stored: Stored }
  | ({ readonly answer: 'stored' } & StoreOutcome)
  | { readonly answer: 'closed' }
  /** `isOpen` false: the file must be reopened before anything else; only then it is known what lies in it. */
  | {
      readonly answer: 'failed'
      readonly code: RecordingTroubleCode
      readonly detail: string
      readonly isOpen: boolean
    }
  | { readonly answer: 'defect'; readonly detail: string }
