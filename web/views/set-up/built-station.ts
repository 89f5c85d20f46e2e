import {
  type ColumnDraft,
  channelsIn,
  isSpecies,
  type LimitDraft,
  type SourceDraft,
  type StationDraft,
  streamsIn,
} from './draft.ts'
import type { Settings } from './questions.ts'

/** All that the pages of the set-up hold. */
export interface Drafts {
  readonly source: SourceDraft
  readonly profile: Settings | null
  /** The profile differs from the one that the station file has or names. */
  readonly isProfileNew: boolean
  readonly columns: readonly ColumnDraft[]
  readonly station: StationDraft
  readonly limits: readonly LimitDraft[]
}
export interface BuiltStation {
  readonly station: Settings
  /** Field → place of its channel in the file, for faults that are told by path. */
  readonly placeOf: ReadonlyMap<string, number>
}

/** A number where the text is one; else the text, which the station’s own check refuses in its place. */
const number = (text: string): unknown => {
  const plain = text.trim().replace(',', '.')
  return plain !== '' && Number.isFinite(Number(plain)) ? Number(plain) : text
}
const given = (key: string, text: string): Settings => (text.trim() === '' ? {} : { [key]: number(text) })
const without = (of: Settings, ...keys: string[]): Settings =>
  Object.fromEntries(Object.entries(of).filter(([key]) => !keys.includes(key)))

const parities: Readonly<Record<string, string>> = { N: 'none', E: 'even', O: 'odd', M: 'mark', S: 'space' }

/** The source as a station file has it. What is usual is not written. */
export function builtSource(draft: SourceDraft): Settings {
  const kept = draft.raw.kind === draft.kind ? draft.raw : {}
  if (draft.kind === 'tcp') {
    const at = draft.address.lastIndexOf(':')
    const host = at < 0 ? draft.address : draft.address.slice(0, at)
    return {
      ...kept,
      kind: 'tcp',
      host: host.trim().replace(/^\[|\]$/g, ''),
      port: at < 0 ? '' : number(draft.address.slice(at + 1)),
    }
  }
  if (draft.kind === 'file') return { ...kept, kind: 'file', path: draft.file.trim(), from: draft.from }
  const [dataBits = '8', parity = 'N', stopBits = '1'] = /^(\d)(\w)([\d.]+)$/.exec(draft.framing)?.slice(1) ?? []
  return {
    ...without(kept, 'dataBits', 'parity', 'stopBits', 'flowControl'),
    kind: 'serial',
    path: draft.path.trim(),
    baudRate: number(draft.baudRate),
    ...(dataBits === '8' ? {} : { dataBits: Number(dataBits) }),
    ...(parity === 'N' ? {} : { parity: parities[parity] }),
    ...(stopBits === '1' ? {} : { stopBits: Number(stopBits) }),
    ...(draft.flowControl === 'none' ? {} : { flowControl: draft.flowControl }),
  }
}

function builtChannel(draft: ColumnDraft, stream: string): Settings {
  const kept = without(draft.raw, 'species', 'quantity', 'basis', 'origin', 'unit')
  return {
    ...kept,
    id: draft.id,
    stream,
    field: draft.field,
    ...(isSpecies(draft.what) ? { species: draft.what } : { quantity: draft.what }),
    ...(draft.unit === '' ? {} : { unit: draft.unit }),
    ...(isSpecies(draft.what) ? { basis: draft.basis } : {}),
    origin: draft.origin,
  }
}

const builtLimit = ({ raw, channel, value, unit, average, referenceOxygen }: LimitDraft): Settings => ({
  ...without(raw, 'referenceOxygen'),
  channel,
  of: raw.of ?? 'block',
  ...(raw.of === 'reading' ? {} : { average }),
  value: number(value),
  unit,
  ...given('referenceOxygen', referenceOxygen),
})

/** The station file that results: the one that is there, with what was set. Parts that no page shows stay as they are. */
export function builtStation(before: Settings | null, drafts: Drafts): BuiltStation {
  const { station, profile, columns, limits } = drafts
  const [first, ...others] = streamsIn(before)
  const stream = String(first?.id ?? 'main')
  const fields = new Set(columns.map(({ field }) => field))
  const used = columns.filter(({ what }) => what !== '')
  const kept = channelsIn(before).flatMap((channel): Settings[] => {
    if (channel.stream !== stream || !fields.has(String(channel.field))) return [channel]
    const draft = used.find(({ field }) => field === channel.field)
    return draft ? [builtChannel(draft, stream)] : []
  })
  const added = used
    .filter(({ field }) => !kept.some((channel) => channel.stream === stream && channel.field === field))
    .map((draft) => builtChannel(draft, stream))
  const channels = [...kept, ...added]
  const phases = before?.phases as Settings | undefined
  const conversions = {
    ...without((before?.conversions ?? {}) as Settings, 'referenceOxygen'),
    ...given('referenceOxygen', station.referenceOxygen),
  }
  const settled = {
    ...without(phases ?? {}, 'otherwise', ...(station.settleSeconds.trim() === '' ? [] : ['settle'])),
    ...(station.settleSeconds.trim() === '' ? {} : { settle: { seconds: number(station.settleSeconds) } }),
    ...(station.otherwise === 'measure' ? { otherwise: 'measure' } : {}),
  }
  return {
    placeOf: new Map(
      channels.flatMap((channel, place) =>
        channel.stream === stream && typeof channel.field === 'string' ? [[channel.field, place] as const] : [],
      ),
    ),
    station: {
      ...(before ?? { format: 1 }),
      regime: station.regime,
      station: { ...((before?.station ?? {}) as Settings), name: station.name, timeZone: station.timeZone.trim() },
      streams: [
        {
          ...(first ?? { id: stream }),
          source: builtSource(drafts.source),
          profile: drafts.isProfileNew || first?.profile === undefined ? profile : first.profile,
          expectEverySeconds: number(station.everySeconds),
        },
        ...others,
      ],
      channels,
      ...(Object.keys(settled).length > 0 ? { phases: settled } : without({}, 'phases')),
      ...(Object.keys(conversions).length > 0 ? { conversions } : {}),
      ...(limits.length > 0 || before?.limits !== undefined ? { limits: limits.map(builtLimit) } : {}),
    },
  }
}
