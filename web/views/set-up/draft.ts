import type { ProposalAnswer, ProposedColumnMessage } from '../../../protocols/live/set-up.ts'
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
  readonly initial: {
    readonly id: string
    readonly what: What
    readonly unit: Unit | ''
    readonly basis: Basis
    readonly origin: Origin
  }
}
export interface LimitDraft {
  channel: string
  value: string
  unit: Unit | ''
  average: string
  referenceOxygen: string
  readonly raw: Settings
}
export interface SourceDraft {
  /** `other`: a kind that no trial can listen to; its settings are shown with all settings. */
  kind: 'serial' | 'tcp' | 'file' | 'other'
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
  /** The source as the station file has it, and what its instrument is asked. */
  readonly raw: Settings
  readonly rawPoll: Settings
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
export const record = (value: unknown): Settings =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Settings) : {}
export const list = (value: unknown): Settings[] => (Array.isArray(value) ? value.map(record) : [])
const text = (value: unknown, otherwise = ''): string =>
  value === undefined || value === null ? otherwise : String(value)

export const channelsIn = (station: Settings | null): Settings[] => list(station?.channels)
export const streamsIn = (station: Settings | null): Settings[] => list(station?.streams)
export const streamId = (station: Settings | null, place: number): string =>
  text(streamsIn(station)[place]?.id, place === 0 ? 'main' : '')

/**
 * The columns of a proposal, or of the profile that is there, with the channels that the station file has for them.
 *
 * Of a stream that has no channels yet, all that could be named are in; else what the file leaves out stays out.
 */
export function columnsOf(
  profile: Settings,
  proposal: ProposalAnswer | null,
  station: Settings | null,
  stream: string,
): ColumnDraft[] {
  const channels = channelsIn(station)
  const isNew = !channels.some((channel) => text(channel.stream) === stream)
  const taken = new Set(channels.map(({ id }) => text(id)))
  const freeId = (id: string): string => (taken.has(id) ? asId(`${id}-${stream}`) : id)
  const proposed = proposal?.ok ? proposal.columns : []
  const statusFields = new Set(list(profile.status).map(({ field }) => text(field)))
  return list(profile.fields).flatMap((field): ColumnDraft[] => {
    const name = text(field.name)
    if (statusFields.has(name)) return []
    const raw = channels.find((one) => text(one.stream) === stream && text(one.field) === name)
    const column = columnOf(name, field, raw ?? null, proposed.find((one) => one.field === name) ?? null, isNew)
    return [raw ? column : { ...column, id: freeId(column.id) }]
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
  const id = raw ? text(raw.id) : asId(name)
  const what = raw ? (text(raw.species, text(raw.quantity)) as What) : guessed
  return {
    field: name,
    label: proposed?.label || name,
    samples: proposed?.samples ?? [],
    id,
    what,
    unit,
    basis,
    origin,
    isUsualUnit: false,
    confidence: proposed?.confidence ?? null,
    reason: proposed?.reason ?? '',
    raw: raw ?? {},
    initial: { id, what, unit, basis, origin },
  }
}

const listenedTo = ['serial', 'tcp', 'file'] as const

/** The source of the stream in this place; of a stream that has none yet, a serial port’s usual settings. */
export function sourceOf(station: Settings | null, place = 0): SourceDraft {
  const stream = streamsIn(station)[place]
  const raw = record(stream?.source)
  const rawPoll = record(stream?.poll)
  const kind = raw.kind === undefined ? 'serial' : (listenedTo.find((each) => each === raw.kind) ?? 'other')
  return {
    kind,
    path: kind === 'serial' ? text(raw.path) : '',
    baudRate: text(raw.baudRate, '9600'),
    framing: `${text(raw.dataBits, '8')}${text(raw.parity, 'none')[0]?.toUpperCase()}${text(raw.stopBits, '1')}`,
    flowControl: text(raw.flowControl, 'none'),
    address: kind === 'tcp' && (raw.host || raw.port) ? `${text(raw.host)}:${text(raw.port)}` : '',
    file: kind === 'file' ? text(raw.path) : '',
    from: raw.from === 'start' ? 'start' : 'end',
    lineEnd: text(raw.lineEnd, 'auto'),
    ask: text(rawPoll.send).replaceAll('\r', '\\r').replaceAll('\n', '\\n'),
    askEverySeconds: text(rawPoll.everySeconds, '1'),
    raw,
    rawPoll,
  }
}

export function stationDraftOf(station: Settings | null, place = 0): StationDraft {
  const about = record(station?.station)
  const phases = record(station?.phases)
  const settle = record(phases.settle)
  return {
    name: text(about.name),
    timeZone: station === null ? Intl.DateTimeFormat().resolvedOptions().timeZone : text(about.timeZone),
    regime: station === null || station.regime === 'eu' ? 'eu' : station.regime === 'us' ? 'us' : 'custom',
    everySeconds: text(streamsIn(station)[place]?.expectEverySeconds),
    settleSeconds: station === null ? '120' : text(settle.seconds),
    otherwise: phases.otherwise === 'measure' ? 'measure' : 'unknown',
    referenceOxygen: text(record(station?.conversions).referenceOxygen),
  }
}

export const limitsOf = (station: Settings | null): LimitDraft[] =>
  list(station?.limits).map((raw) => ({
    channel: text(raw.channel),
    value: text(raw.value),
    unit: text(raw.unit) as Unit | '',
    average: text(raw.average),
    referenceOxygen: text(raw.referenceOxygen),
    raw,
  }))
