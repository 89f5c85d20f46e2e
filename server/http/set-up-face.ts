import type {
  CheckAnswer,
  FoundPort,
  HeardAnswer,
  ListenRequest,
  PreviewAnswer,
  ProposalAnswer,
  SetUpState,
  WriteAnswer,
  WriteRequest,
} from '../../protocols/live/set-up.ts'
import type { Refusal } from './refusal.ts'

type Settings = Readonly<Record<string, unknown>>

/** Something that is done, or why not. */
export type Done<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly refusal: Refusal }

/** No line is shown: the profile is at fault, or nobody may set anything up. */
export const noPreview = (faults: PreviewAnswer['faults']): PreviewAnswer => ({
  faults,
  lines: 0,
  read: 0,
  harmless: 0,
  refused: {},
  refusalWords: {},
  shown: [],
})

/** What a station lets the browser do to set it up. `state` alone answers where it is not set up from the browser. */
export interface SetUpFace {
  state(): SetUpState
  /** JSON Schema of the station file. */
  schema(): Settings
  ports(): Promise<readonly FoundPort[]>
  listen(request: ListenRequest): Promise<Done<HeardAnswer>>
  heard(): HeardAnswer
  stopListening(): Promise<void>
  propose(): Done<ProposalAnswer>
  preview(profile: Settings, timeZone: string): PreviewAnswer
  check(station: Settings): CheckAnswer
  write(request: WriteRequest): Promise<Done<WriteAnswer>>
}

const why = 'this station is not set up from the browser: flueledger serve opens the set-up'
const refused = { ok: false, refusal: { status: 409, errors: [why] } } as const
const nothingHeard: HeardAnswer = { link: 'closed', detail: why, own: false, lines: 0, everySeconds: null, recent: [] }

/** For a station that is not set up from the browser, as the demonstration: it says so, and does nothing. */
export const noSetUp: SetUpFace = {
  state: () => ({
    available: false,
    why,
    file: '',
    state: 'running',
    pending: false,
    seen: null,
    station: null,
    profiles: {},
  }),
  schema: () => ({}),
  ports: async () => [],
  listen: async () => refused,
  heard: () => nothingHeard,
  stopListening: async () => {},
  propose: () => refused,
  preview: () => noPreview([{ path: '', message: why }]),
  check: () => ({ faults: [{ path: '', message: why }], warnings: [], difference: [], changed: false, open: [] }),
  write: async () => refused,
}
