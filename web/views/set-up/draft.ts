import type { ProposalAnswer, ProposedColumnMessage, SetUpState } from '../../../protocols/live/set-up.ts'
import {
  type Basis,
  type Origin,
  type PhysicalQuantity,
  physicalQuantities,
} from '../../../protocols/words/quantities.ts'
import { type Species, species } from '../../../protocols/words/species.ts'
import { gasUnits, physicalUnits, type Unit } from '../../../protocols/words/units.ts'
import type { Settings } from './questions.ts'

/** What a column can be taken for; empty: it is not used. */
export type What = '' | Species | PhysicalQuantity

export interface ColumnDraft {
  readonly field: string
  /** As the lines call it. */
  readonly label: string
  readonly samples: readonly string[]
  id: string
  what: What
  unit: Unit | ''
  basis: Basis
  origin: Origin
  /** The unit was not told by the lines: the usual one was taken. */
  isUsualUnit: boolean
  readonly confidence: number | null
  readonly reason: string
  /** The channel as the station file has it: what is not shown here stays. */
  readonly raw: Settings
  /** As it came to this page. */
  readonly initial: { readonly unit: Unit | ''; readonly basis: Basis; readonly origin: Origin }
}
export interface LimitDraft {
  channel: string
  value: string
  unit: Unit
  average: string
  referenceOxygen: string
  readonly raw: Settings
}
export interface SourceDraft {
  kind: 'serial' | 'tcp' | 'file'
  path: string
  baudRate: string
  framing: string
  flowControl: string
  address: string
  file: string
  from: 'start' | 'end'
  lineEnd: string
  /** What makes the instrument answer; empty: it sends by itself. */
  ask: string
  askEverySeconds: string
  /** The source as the station file has it. */
  readonly raw: Settings
}
export interface StationDraft {
  name: string
  timeZone: string
  regime: 'eu' | 'us' | 'custom'
  everySeconds: string
  settleSeconds: string
  otherwise: 'unknown' | 'measure'
  referenceOxygen: string
}

export const isSpecies = (what: string): what is Species => (species as readonly string[]).includes(what)
const isQuantity = (what: string): what is PhysicalQuantity => (physicalQuantities as readonly string[]).includes(what)
export const unitsFor = (what: What): readonly Unit[] =>
  isSpecies(what) ? gasUnits : isQuantity(what) ? physicalUnits[what] : []

/** The unit in which most instruments write it (common practice, no source); taken only when asked for. */
export const usualUnit = (what: What): Unit | '' =>
  what === 'O2' || what === 'CO2' || what === 'H2O' ? 'vol%' : isSpecies(what) ? 'ppm' : (unitsFor(what)[0] ?? '')

const asId = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9_-]+/g, '-')
    .replace(/^[-_]+/, '')
    .slice(0, 40)
const record = (value: unknown): Settings =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Settings) : {}
const list = (value: unknown): Settings[] => (Array.isArray(value) ? value.map(record) : [])
const text = (value: unknown, otherwise = ''): string =>
  value === undefined || value === null ? otherwise : String(value)

export const channelsIn = (station: Settings | null): Settings[] => list(station?.channels)
export const streamsIn = (station: Settings | null): Settings[] => list(station?.streams)

/** The columns of a proposal, or of the profile that is there, with the channels that the station file has for them. */
export function columnsOf(
  profile: Settings,
  proposal: ProposalAnswer | null,
  station: Settings | null,
  stream: string,
): ColumnDraft[] {
  const proposed = proposal?.ok ? proposal.columns : []
  const statusFields = new Set(list(profile.status).map(({ field }) => text(field)))
  return list(profile.fields).flatMap((field): ColumnDraft[] => {
    const name = text(field.name)
    if (statusFields.has(name)) return []
    const raw = channelsIn(station).find((one) => text(one.stream) === stream && text(one.field) === name)
    return [columnOf(name, field, raw ?? null, proposed.find((one) => one.field === name) ?? null, station === null)]
  })
}

function columnOf(
  name: string,
  field: Settings,
  raw: Settings | null,
  proposed: ProposedColumnMessage | null,
  isNew: boolean,
): ColumnDraft {
  const meaning = proposed?.meaning
  // A channel that the station file leaves out stays out; in a new one all that could be named is in.
  const guessed = isNew && meaning ? ('species' in meaning ? meaning.species : meaning.quantity) : ''
  const unit = text(raw?.unit ?? field.unit ?? proposed?.unit) as Unit | ''
  const basis = raw?.basis === 'wet' || (!raw && proposed?.basis === 'wet') ? 'wet' : 'dry'
  const origin =
    text(raw?.origin ?? field.origin ?? proposed?.origin, 'measured') === 'computed' ? 'computed' : 'measured'
  return {
    field: name,
    label: proposed?.label || text(field.at, name),
    samples: proposed?.samples ?? [],
    id: raw ? text(raw.id) : asId(name),
    what: raw ? (text(raw.species, text(raw.quantity)) as What) : guessed,
    unit,
    basis,
    origin,
    isUsualUnit: false,
    confidence: proposed?.confidence ?? null,
    reason: proposed?.reason ?? '',
    raw: raw ?? {},
    initial: { unit, basis, origin },
  }
}

export function sourceOf({ station }: SetUpState): SourceDraft {
  const raw = record(streamsIn(station)[0]?.source)
  const kind = raw.kind === 'tcp' || raw.kind === 'file' ? raw.kind : 'serial'
  return {
    kind,
    path: kind === 'serial' ? text(raw.path) : '',
    baudRate: text(raw.baudRate, '9600'),
    framing: `${text(raw.dataBits, '8')}${text(raw.parity, 'none')[0]?.toUpperCase()}${text(raw.stopBits, '1')}`,
    flowControl: text(raw.flowControl, 'none'),
    address: kind === 'tcp' ? `${text(raw.host)}:${text(raw.port)}` : '',
    file: kind === 'file' ? text(raw.path) : '',
    from: raw.from === 'start' ? 'start' : 'end',
    lineEnd: text(raw.lineEnd, 'auto'),
    ask: text(record(streamsIn(station)[0]?.poll).send)
      .replaceAll('\r', '\\r')
      .replaceAll('\n', '\\n'),
    askEverySeconds: text(record(streamsIn(station)[0]?.poll).everySeconds, '1'),
    raw,
  }
}

export function stationDraftOf({ station }: SetUpState): StationDraft {
  const about = record(station?.station)
  const phases = record(station?.phases)
  const settle = record(phases.settle)
  return {
    name: text(about.name),
    timeZone: text(about.timeZone, Intl.DateTimeFormat().resolvedOptions().timeZone),
    regime: station === null || station.regime === 'eu' ? 'eu' : station.regime === 'us' ? 'us' : 'custom',
    everySeconds: text(streamsIn(station)[0]?.expectEverySeconds),
    settleSeconds: station === null ? '120' : text(settle.seconds),
    otherwise: phases.otherwise === 'measure' ? 'measure' : 'unknown',
    referenceOxygen: text(record(station?.conversions).referenceOxygen),
  }
}

export const limitsOf = ({ station }: SetUpState): LimitDraft[] =>
  list(station?.limits).map((raw) => ({
    channel: text(raw.channel),
    value: text(raw.value),
    unit: text(raw.unit, 'mg/m3') as Unit,
    average: text(raw.average, 'PT30M'),
    referenceOxygen: text(raw.referenceOxygen),
    raw,
  }))
