import { html } from 'lit'
import type {
  CheckAnswer,
  HeardAnswer,
  PreviewAnswer,
  ProposalAnswer,
  SetUpState,
} from '../../protocols/live/set-up.ts'
import type { Asked } from '../answers.ts'
import type { SetUpAsks } from '../views/set-up/questions.ts'
import { SetUpView } from '../views/set-up/set-up-view.ts'
import type { SetUpWork } from '../views/set-up/work.ts'
import { nowMs } from './invented.ts'
import type { Group } from './shown.ts'

/** The set-up with what a hand does on it: `hand` begins once the first questions are answered. */
class HandledSetUp extends SetUpView {
  declare hand: ((work: SetUpWork) => Promise<unknown>) | undefined
  override connectedCallback(): void {
    super.connectedCallback()
    // The invented answers are all there within the turn.
    setTimeout(() => this.work && void this.hand?.(this.work))
  }
}
customElements.define('handled-set-up', HandledSetUp)

const told =
  <T>(value: T) =>
  async (): Promise<Asked<T>> => ({ ok: true, value })
const refused = (error: string) => async (): Promise<Asked<never>> => ({ ok: false, errors: [error] })
const never = () => new Promise<never>(() => {})

const fresh: SetUpState = {
  available: true,
  why: '',
  file: 'invented/station.json',
  state: 'waiting',
  pending: false,
  seen: null,
  station: null,
  profiles: {},
}
const lines = ['O2=4.21 CO=112 ST=M', 'O2=4.20 CO=113 ST=M', 'O2=4.22 C']
const heard: HeardAnswer = {
  link: 'open',
  detail: '',
  own: false,
  lines: 17,
  everySeconds: 1,
  recent: lines.map((text, number) => ({ number, atMs: nowMs + number * 1000, text })),
}
const profile = {
  form: 'key-value',
  name: 'Invented',
  fields: [
    { name: 'o2', at: 'O2', unit: 'vol%' },
    { name: 'co', at: 'CO' },
    { name: 'state', at: 'ST' },
  ],
  status: [{ field: 'state', tokens: { M: { phase: 'measure' } } }],
}
const column = (field: string, more: object) => ({
  at: field.toUpperCase(),
  label: field.toUpperCase(),
  role: 'value' as const,
  field,
  meaning: null,
  unit: null,
  basis: 'dry' as const,
  origin: 'measured' as const,
  confidence: 0.9,
  reason: 'its name',
  unknown: [],
  samples: ['1', '2'],
  ...more,
})
const proposal: ProposalAnswer = {
  ok: true,
  profile,
  confidence: 0.86,
  guesses: [{ what: 'decimal mark', value: '.', confidence: 0.95, reason: 'every number has one' }],
  columns: [
    column('o2', { meaning: { species: 'O2' }, unit: 'vol%' }),
    column('co', { meaning: { species: 'CO' } }),
    column('state', { role: 'status', unknown: ['X'] }),
  ],
  unnamed: [],
  stepSeconds: 1,
}
const noForm: ProposalAnswer = {
  ok: false,
  tried: [{ form: 'names with values', why: 'no name stands before a number' }],
  kinds: [{ word: 'GPGGA', count: 9 }],
}
const value = (field: string, number: number) => ({ field, value: number, why: null })
const preview: PreviewAnswer = {
  faults: [],
  lines: 17,
  read: 17,
  harmless: 0,
  refused: {},
  refusalWords: {},
  shown: lines.slice(0, 2).map((text, place) => ({
    text,
    read: {
      ok: true,
      timeMs: nowMs + place * 1000,
      values: [value('o2', 4.2), value('co', 112 + place)],
      status: [{ token: 'M', tells: 'Measuring' }],
    },
  })),
}
const withRefusals: PreviewAnswer = {
  ...preview,
  read: 15,
  refused: { wrong_form: 2 },
  refusalWords: { wrong_form: 'not in the form of the profile' },
  shown: [
    ...preview.shown,
    { text: lines[2] ?? '', read: { ok: false, reason: 'wrong_form', detail: 'CO is missing' } },
  ],
}
const sound: CheckAnswer = { faults: [], warnings: [], difference: [], changed: false, open: [] }
const changed: CheckAnswer = {
  ...sound,
  warnings: [{ path: 'limits', message: 'no limit is set: nothing is compared' }],
  difference: [
    { kind: 'same', text: '{' },
    { kind: 'old', text: '  "regime": "custom",' },
    { kind: 'new', text: '  "regime": "eu",' },
    { kind: 'cut', text: '… 40 lines …' },
    { kind: 'same', text: '}' },
  ],
  changed: true,
  open: [{ path: 'regime', value: 'custom', from: 'built in' }],
}
const atFault: CheckAnswer = {
  ...changed,
  faults: [
    { path: 'station.name', message: 'must not be empty' },
    { path: 'regime', message: 'must be one of eu, us, custom' },
  ],
}
/** As the station gives it, but a small one. */
const schema = {
  type: 'object',
  required: ['station'],
  properties: {
    regime: { enum: ['eu', 'us', 'custom'], description: 'Whose rules are the usual ones.' },
    station: {
      type: 'object',
      required: ['name'],
      description: 'Its name and its time.',
      properties: {
        name: { type: 'string', description: 'As reports call it.' },
        standardTime: { type: 'boolean', description: 'Blocks follow standard time all year.' },
      },
    },
    averaging: {
      type: 'object',
      properties: {
        blocks: { type: 'array', items: { type: 'string', examples: ['PT30M'] }, description: 'Lengths of blocks.' },
      },
    },
  },
}
const station = {
  format: 1,
  regime: 'eu',
  station: { name: 'Invented stack', timeZone: 'UTC' },
  streams: [
    { id: 'main', source: { kind: 'tcp', host: 'analyser.example', port: 4001 }, profile, expectEverySeconds: 1 },
  ],
  channels: [
    { id: 'o2', stream: 'main', field: 'o2', species: 'O2', unit: 'vol%', basis: 'dry' },
    { id: 'co', stream: 'main', field: 'co', species: 'CO', unit: 'ppm', basis: 'dry' },
  ],
  averaging: { blocks: ['PT30M'] },
  limits: [],
}
const known: SetUpState = { ...fresh, state: 'running', seen: 'invented', station, profiles: { main: profile } }

const asks = (more: Partial<SetUpAsks> = {}): SetUpAsks => ({
  state: told(fresh),
  schema: told(schema),
  ports: told([]),
  heard: never,
  listen: told(heard),
  proposal: told(proposal),
  preview: told(preview),
  check: told(sound),
  write: never,
  stopListening: () => {},
  ...more,
})
const setUp = (more: Partial<SetUpAsks> = {}, hand?: (work: SetUpWork) => Promise<unknown>) =>
  html`<handled-set-up .asks=${asks(more)} .hand=${hand}></handled-set-up>`
const listening = async (work: SetUpWork): Promise<void> => {
  await work.listen()
  await work.propose()
}
const lookedOver = (work: SetUpWork) => work.checkAll()

export const setUpStates: Group = {
  name: 'Set-up',
  isWide: true,
  shown: [
    ['asking', setUp({ state: never })],
    ['the station does not answer', setUp({ state: refused('The station does not answer. Is the line to it up?') })],
    [
      'not available',
      setUp({ state: told({ ...fresh, available: false, why: 'the demonstration is not set up from the browser' }) }),
    ],
    ['the first step, nothing heard; the settings are asked for', setUp({ schema: never })],
    [
      'nothing can be listened to',
      setUp({ listen: refused('the port is held by another program') }, (work) => work.listen()),
    ],
    ['lines arrive, no form fits them', setUp({ proposal: told(noForm) }, listening)],
    ['lines arrive, with a proposal', setUp({}, listening)],
    ['lines arrive, some are refused', setUp({ preview: told(withRefusals) }, listening)],
    ['what would change', setUp({ state: told(known), check: told(changed) }, lookedOver)],
    ['written, waits for the end of the run', setUp({ state: told({ ...known, pending: true }) })],
    [
      'all settings, with a fault',
      setUp({ state: told(known), check: told(atFault) }, async (work) => {
        await work.checkAll()
        work.form?.setOpen('station', true)
      }),
    ],
  ],
}
