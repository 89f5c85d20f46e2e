import type { CompareAnswer, CompareRequest } from '../../protocols/live/compare.ts'
import type { ExplainAnswer } from '../../protocols/live/explain.ts'
import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import type { TestAnswer } from '../../protocols/live/test.ts'
import type { ExitStatus } from '../trouble.ts'
import type { AmendOrder } from './amendments/amend-recording.ts'
import type { ReadingsAsked } from './explain/explain-recording.ts'
import type { AverageQuestion } from './explain/find-average.ts'
import type { ExportTarget } from './export-recording.ts'
import type { RunAsked } from './tested-run.ts'

/** Work that would hold up the recording for too long, done in a thread of its own; all but `amend` only reads. */
export type LongWork =
  | { readonly work: 'verify'; readonly path: string }
  | { readonly work: 'export'; readonly path: string; readonly target: ExportTarget }
  | { readonly work: 'explain'; readonly path: string; readonly asked: AverageQuestion; readonly page: ReadingsAsked }
  | { readonly work: 'compare'; readonly path: string; readonly request: CompareRequest }
  | { readonly work: 'test'; readonly runs: readonly RunAsked[] }
  | { readonly work: 'amend'; readonly path: string; readonly order: AmendOrder }

interface Results {
  readonly verify: VerifyAnswer
  readonly export: string[]
  readonly explain: ExplainAnswer
  readonly compare: CompareAnswer
  readonly test: TestAnswer
  readonly amend: { readonly changed: number }
}
export type LongWorkResult<W extends LongWork> = Results[W['work']]
export type LongWorkMessage =
  | { readonly ok: true; readonly result: Results[keyof Results] }
  /** `status`: of a `Trouble`; null: a defect. */
  | { readonly ok: false; readonly error: string; readonly status: ExitStatus | null }
