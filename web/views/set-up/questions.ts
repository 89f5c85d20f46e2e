import {
  type CheckAnswer,
  checkAnswer,
  type FoundPort,
  type HeardAnswer,
  heardAnswer,
  type PreviewAnswer,
  type ProposalAnswer,
  portsAnswer,
  previewAnswer,
  proposalAnswer,
  type SetUpState,
  schemaAnswer,
  setUpState,
  type WriteAnswer,
  type WriteRequest,
  writeAnswer,
} from '../../../protocols/live/set-up.ts'
import { type Asked, ask, askByPost } from '../../answers.ts'

export type Settings = Record<string, unknown>

const askState = (): Promise<Asked<SetUpState>> => ask(setUpState, 'api/set-up')
/** The JSON Schema of the station file. */
const askSchema = async (): Promise<Asked<Settings>> => {
  const found = await ask(schemaAnswer, 'api/set-up/schema')
  return found.ok ? { ok: true, value: found.value.schema } : found
}
const askPorts = async (): Promise<Asked<readonly FoundPort[]>> => {
  const found = await ask(portsAnswer, 'api/set-up/ports')
  return found.ok ? { ok: true, value: found.value.ports } : found
}
const askHeard = (): Promise<Asked<HeardAnswer>> => ask(heardAnswer, 'api/set-up/heard')
const listenTo = (source: Settings, poll: Settings | undefined): Promise<Asked<HeardAnswer>> =>
  askByPost(heardAnswer, 'api/set-up/listen', { source, ...(poll ? { poll } : {}) })
const askProposal = (): Promise<Asked<ProposalAnswer>> => askByPost(proposalAnswer, 'api/set-up/propose', {})
const askPreview = (profile: Settings, timeZone: string): Promise<Asked<PreviewAnswer>> =>
  askByPost(previewAnswer, 'api/set-up/preview', { profile, timeZone })
const askCheck = (station: Settings): Promise<Asked<CheckAnswer>> =>
  askByPost(checkAnswer, 'api/set-up/check', { station })
const writeStation = (request: WriteRequest): Promise<Asked<WriteAnswer>> =>
  askByPost(writeAnswer, 'api/set-up/write', request)

/** Gives the port back. Also when the page is about to go: `keepalive` lets the request outlive it. */
function stopListening(): void {
  void fetch('api/set-up/stop-listening', {
    method: 'POST',
    body: '{}',
    headers: { 'content-type': 'application/json' },
    keepalive: true,
  }).catch(() => {
    // The station closes a trial by itself when nobody asks for it.
  })
}

/** Whom the set-up asks: the station, unless it is handed its answers. */
export const askStation = {
  state: askState,
  schema: askSchema,
  ports: askPorts,
  heard: askHeard,
  listen: listenTo,
  proposal: askProposal,
  preview: askPreview,
  check: askCheck,
  write: writeStation,
  stopListening,
}
export type SetUpAsks = typeof askStation
