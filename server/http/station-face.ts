import type { Readable } from 'node:stream'
import type { z } from 'zod'
import type { AmendAnswer, AmendmentsAnswer, AmendRequest } from '../../protocols/live/amend.ts'
import type { CompareAnswer, CompareRequest, SettingsAnswer } from '../../protocols/live/compare.ts'
import type { ExplainAnswer } from '../../protocols/live/explain.ts'
import type {
  ChannelInfo,
  ClientMessage,
  IncrementMessage,
  LogbookEntry,
  PhaseSpan,
  SnapshotMessage,
} from '../../protocols/live/messages.ts'
import type {
  ActionRequest,
  EntryGroup,
  healthAnswer,
  MarksAnswer,
  RecordingSummary,
  RunRequest,
  SeriesAnswer,
  VerifyAnswer,
} from '../../protocols/live/requests.ts'
import type { TestAnswer } from '../../protocols/live/test.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'

/** An increment before the hub numbers it. */
export type Unnumbered = IncrementMessage extends infer M
  ? M extends { sequence: number }
    ? Omit<M, 'sequence'>
    : never
  : never

/** What one viewer follows: the running station, or a recording played back for this viewer alone. */
export interface Feed {
  /** The whole picture as it is now. */
  snapshot(): Omit<SnapshotMessage, 'sequence'>
  /** Increments from now on; the returned function ends it. */
  follow(listener: (increment: Unnumbered) => void): () => void
  /** Called when the whole picture is another one (a new run, a jump in a replay): viewers then need a snapshot. */
  onRenewed(listener: () => void): () => void
  /** Play, pause, seek; ignored by the live feed. `resync` is the hub's own business and never comes here. */
  control(message: ClientMessage): void
  close(): void
}

export type Outcome =
  | { readonly ok: true }
  | { readonly ok: false; readonly status: 400 | 404 | 409 | 507; readonly errors: readonly string[] }

export type Refused = Extract<Outcome, { readonly ok: false }>

export interface SeriesQuery {
  readonly channels: readonly string[]
  readonly value: 'asRead' | 'corrected' | 'referred'
  readonly fromMs: number
  readonly toMs: number
  readonly columns: number
}
export interface MarksQuery {
  readonly fromMs: number
  readonly toMs: number
  /** Length of the blocks whose means are told; undefined: none are. */
  readonly average: string | undefined
  /** The logbook is told up to this instant, folded into so many columns. */
  readonly flagsToMs: number
  readonly columns: number
  /** By the stage of the value that their traces show. */
  readonly channels: Readonly<Record<SeriesQuery['value'], readonly string[]>>
}
export interface LogbookQuery {
  readonly fromMs?: number | undefined
  readonly toMs?: number | undefined
  readonly group: EntryGroup
  /** Only what is worth a flag over the charts. */
  readonly flagged: boolean
  readonly most: number
}
export interface BlocksQuery {
  readonly kind: 'block' | 'rolling'
  readonly average?: string | undefined
  readonly channel?: string | undefined
  readonly quantity?: AverageRow['quantity'] | undefined
  readonly fromMs?: number | undefined
  readonly toMs?: number | undefined
}
export interface ExplainQuery {
  readonly startMs: number
  readonly channel: string
  readonly average?: string
  readonly quantity?: AverageRow['quantity']
  readonly unit?: string
  readonly kind?: 'block' | 'rolling'
  /** Which of the readings are told. */
  readonly from: number
  readonly most: number
}
/** What was asked, or why it cannot be had. */
export type Had<T> = { readonly ok: true; readonly answer: T } | Refused
export interface ExportedFile {
  readonly name: string
  readonly path: string
  readonly contentType: string
  /** Removes the file once it was sent. */
  release(): void
}

/** What the station lets the web see and do. `id` is a recording's id, or `current`; null: there is none of that name. Long work runs in a worker. */
export interface StationFace {
  live(): Feed
  /** `gone`: whoever asked has left; what is given then is closed already, and works no further. */
  replay(id: string, gone: AbortSignal): Promise<Feed | null>
  /** Resolves when the disk holds it. */
  act(request: ActionRequest): Promise<Outcome>
  run(request: RunRequest): Promise<Outcome>
  health(): z.infer<typeof healthAnswer>
  /** Name, help, value, labels: for /metrics. */
  metrics(): readonly {
    readonly name: string
    readonly help: string
    readonly kind: 'gauge' | 'counter'
    readonly value: number
    readonly labels?: Readonly<Record<string, string>>
  }[]
  recordings(): readonly RecordingSummary[]
  channels(id: string): Promise<readonly ChannelInfo[] | null>
  /** Read as they are gone through. */
  blocks(id: string, query: BlocksQuery): Promise<Iterable<AverageRow> | null>
  series(id: string, query: SeriesQuery): Promise<SeriesAnswer | null>
  marks(id: string, query: MarksQuery): Promise<MarksAnswer | null>
  logbook(
    id: string,
    query: LogbookQuery,
  ): Promise<{ readonly entries: readonly LogbookEntry[]; readonly left: number } | null>
  phases(id: string, fromMs: number, toMs: number): Promise<readonly PhaseSpan[] | null>
  verify(id: string): Promise<VerifyAnswer | null>
  /** A copy of the recording as one file. */
  recordingFile(id: string): Promise<ExportedFile | null>
  /** `size`: bytes that come. */
  takeInRecording(id: string, bytes: Readable, size: number): Promise<Outcome>
  /** Refused for the one that is being written. */
  removeRecording(id: string, by: string): Promise<Outcome>
  explain(id: string, query: ExplainQuery): Promise<Had<ExplainAnswer> | null>
  compare(id: string, request: CompareRequest): Promise<Had<CompareAnswer> | null>
  amend(id: string, request: AmendRequest): Promise<Had<AmendAnswer> | null>
  amendments(id: string): Promise<AmendmentsAnswer | null>
  /** A test of several recordings, each one run; the first gives the rules and the limits. */
  test(ids: readonly string[]): Promise<Had<TestAnswer>>
  /** The settings that it was made with. */
  settings(id: string): Promise<SettingsAnswer | null>
  exportFile(id: string, format: 'csv' | 'json' | 'xlsx', decimal: '.' | ','): Promise<ExportedFile | null>
}
