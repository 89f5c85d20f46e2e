import {
  type ColumnDraft,
  channelsIn,
  isSpecies,
  type LimitDraft,
  record,
  type SourceDraft,
  type StationDraft,
  streamId,
  streamsIn,
} from './draft.ts'
import type { Settings } from './questions.ts'
import { numberTyped } from './settings/setting-words.ts'

/** All that the pages of the set-up hold. */
export interface Drafts {
  /** Place of the stream that source, profile and columns belong to. */
  readonly place: number
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
  /** Place in the file of a field’s channel, of several the first; −1 where it has none. For faults that are told by path. */
  placeOf(field: string): number
}

const number = (text: string): unknown => numberTyped(text) ?? text
/** Settings with others in the places of the old ones, so that only what changed differs; undefined takes one out. */
function overlaid(raw: Settings, updates: Settings): Settings {
  const result = { ...raw }
  for (const [key, value] of Object.entries(updates)) {
    if (value === undefined) delete result[key]
    else result[key] = value
  }
  return result
}
/** What is usual is not written, unless it stands there already. */
const unlessUsual = (raw: Settings, key: string, value: unknown, usual: unknown): unknown =>
  value === usual && !(key in raw) ? undefined : value
/** An empty field is not set, unless the file has it so. */
const unlessEmpty = (raw: Settings, key: string, text: string): unknown =>
  text === '' && raw[key] !== '' ? undefined : text

const orNothing = (settings: Settings): Settings | undefined =>
  Object.keys(settings).length > 0 ? settings : undefined

const parities: Readonly<Record<string, string>> = { N: 'none', E: 'even', O: 'odd', M: 'mark', S: 'space' }
/** `\\r` and `\\n` as they are typed stand for the signs themselves. */
const withLineEnds = (typed: string): string => typed.replaceAll('\\r', '\r').replaceAll('\\n', '\n')

/** What the instrument is asked, and how often; undefined where it sends by itself. */
export function builtPoll({ ask, askEverySeconds, kind, rawPoll }: SourceDraft): Settings | undefined {
  // What is half told with all settings stays.
  if (kind === 'other' || (ask === '' && rawPoll.send === undefined)) return orNothing(rawPoll)
  if (ask === '' || kind === 'file') return undefined
  return overlaid(rawPoll, {
    send: withLineEnds(ask),
    everySeconds: unlessUsual(
      rawPoll.send === undefined ? { everySeconds: 1 } : rawPoll,
      'everySeconds',
      number(askEverySeconds),
      1,
    ),
  })
}

/** The source as a station file has it. */
export function builtSource(draft: SourceDraft): Settings {
  if (draft.kind === 'other') return draft.raw
  const raw = draft.raw.kind === draft.kind ? draft.raw : {}
  return overlaid(raw, { ...sourceOfKind(draft, raw), lineEnd: unlessUsual(raw, 'lineEnd', draft.lineEnd, 'auto') })
}

function sourceOfKind(draft: SourceDraft, raw: Settings): Settings {
  if (draft.kind === 'tcp') {
    const at = draft.address.lastIndexOf(':')
    const host = at < 0 ? draft.address : draft.address.slice(0, at)
    return {
      kind: 'tcp',
      host: host.trim().replace(/^\[|\]$/g, ''),
      port: at < 0 ? '' : number(draft.address.slice(at + 1)),
    }
  }
  if (draft.kind === 'file')
    return { kind: 'file', path: draft.file.trim(), from: unlessUsual(raw, 'from', draft.from, 'end') }
  const [dataBits = '8', parity = 'N', stopBits = '1'] = /^(\d)(\w)([\d.]+)$/.exec(draft.framing)?.slice(1) ?? []
  return {
    kind: 'serial',
    path: draft.path.trim(),
    baudRate: unlessUsual(raw.kind === undefined ? { baudRate: 9600 } : raw, 'baudRate', number(draft.baudRate), 9600),
    dataBits: unlessUsual(raw, 'dataBits', Number(dataBits), 8),
    parity: unlessUsual(raw, 'parity', parities[parity], 'none'),
    stopBits: unlessUsual(raw, 'stopBits', Number(stopBits), 1),
    flowControl: unlessUsual(raw, 'flowControl', draft.flowControl, 'none'),
  }
}

function builtChannel({ raw, initial, ...draft }: ColumnDraft, stream: string): Settings {
  const isNew = Object.keys(raw).length === 0
  /** What the file leaves to the profile stays left to it, until it is changed here. */
  const changed = (key: 'unit' | 'basis' | 'origin') =>
    isNew || key in raw || draft[key] !== initial[key] ? draft[key] || undefined : undefined
  const isGas = isSpecies(draft.what)
  const meaning =
    isNew || draft.what !== initial.what
      ? { species: isGas ? draft.what : undefined, quantity: isGas ? undefined : draft.what }
      : {}
  return overlaid(raw, {
    ...(isNew || draft.id !== initial.id ? { id: draft.id } : {}),
    stream,
    field: draft.field,
    ...meaning,
    unit: changed('unit'),
    basis: isGas || 'basis' in raw ? changed('basis') : undefined,
    origin: changed('origin'),
  })
}

const builtLimit = ({ raw, channel, value, unit, average, referenceOxygen }: LimitDraft): Settings =>
  overlaid(raw, {
    channel: unlessEmpty(raw, 'channel', channel),
    average: unlessEmpty(raw, 'average', average),
    value: raw.value === value ? value : numberTyped(value),
    unit: unlessEmpty(raw, 'unit', unit),
    referenceOxygen: numberTyped(referenceOxygen),
  })

function builtChannels(
  before: Settings | null,
  { columns, profile, isProfileNew }: Drafts,
  stream: string,
): Settings[] {
  const fields = new Set(columns.map(({ field }) => field))
  const inProfile = new Set((Array.isArray(profile?.fields) ? profile.fields : []).map((field) => record(field).name))
  const used = columns.filter(({ what }) => what !== '')
  const kept = channelsIn(before).flatMap((channel): Settings[] => {
    if (channel.stream !== stream || channel.field === undefined) return [channel]
    // With a new profile go the channels of fields that it has no more.
    if (!fields.has(String(channel.field))) return isProfileNew && !inProfile.has(channel.field) ? [] : [channel]
    // Of several channels of one field the steps show the first; a column that was taken out is a channel no more, and
    // one that is half told, as with all settings, stays.
    const draft = columns.find(({ field, raw }) => field === channel.field && raw === channel)
    if (!draft) return [channel]
    return draft.what !== '' || draft.initial.what === '' ? [builtChannel(draft, stream)] : []
  })
  const added = used
    .filter(({ field }) => !kept.some((channel) => channel.stream === stream && channel.field === field))
    .map((draft) => builtChannel(draft, stream))
  return [...kept, ...added]
}

/** The station file that results: the one that is there, with what was set. Parts that no step shows stay as they are. */
export function builtStation(before: Settings | null, drafts: Drafts): BuiltStation {
  const { place, station, profile, limits } = drafts
  const streams = streamsIn(before)
  const own = streams[place] ?? { id: streamId(before, place) }
  const stream = streamId(before, place)
  const channels = builtChannels(before, drafts, stream)
  const about = record(before?.station)
  const phases = record(before?.phases)
  const conversions = record(before?.conversions)
  const seconds = numberTyped(station.settleSeconds)
  const built = overlaid(own, {
    source: builtSource(drafts.source),
    profile: (drafts.isProfileNew || own.profile === undefined ? profile : own.profile) ?? undefined,
    poll: builtPoll(drafts.source),
    expectEverySeconds: numberTyped(station.everySeconds),
  })
  return {
    placeOf: (field) => channels.findIndex((one) => one.stream === stream && one.field === field),
    station: overlaid(before ?? { format: 1 }, {
      regime: unlessUsual(before ?? { regime: true }, 'regime', station.regime, 'custom'),
      station: overlaid(about, {
        name: unlessEmpty(about, 'name', station.name),
        timeZone: unlessEmpty(about, 'timeZone', station.timeZone.trim()),
      }),
      streams: streams.length > place ? streams.with(place, built) : [...streams, built],
      channels,
      phases: orNothing(
        overlaid(phases, {
          settle:
            seconds === undefined
              ? record(phases.settle).seconds === undefined
                ? phases.settle
                : undefined
              : { seconds },
          otherwise: unlessUsual(phases, 'otherwise', station.otherwise, 'unknown'),
        }),
      ),
      conversions: orNothing(overlaid(conversions, { referenceOxygen: numberTyped(station.referenceOxygen) })),
      limits: limits.length > 0 || before?.limits !== undefined ? limits.map(builtLimit) : undefined,
    }),
  }
}
