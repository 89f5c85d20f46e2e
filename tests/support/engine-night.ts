import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { EngineEvent, LineEvent, OperatorAction, OperatorEvent, RunEvent } from '../../server/engine/events.ts'
import type { EngineOutput } from '../../server/engine/outputs.ts'
import { type StationFile, type StationFileInput, stationFile } from '../../server/engine/settings/station-file.ts'
import { drive } from '../../server/station/drive-engine.ts'

type Stream = StationFileInput['streams'][number]
type Channel = StationFileInput['channels'][number]

/** 10:00 UTC of an invented day; seconds and minutes of a night are counted from here. */
export const ten = Date.UTC(2026, 0, 15, 10)
export const minute = 60_000
export const clockTime = (ms: number): string => new Date(ms).toISOString().slice(11, 19)

const tokens = {
  S: { phase: 'measure' },
  P: { phase: 'purge' },
  Z: { phase: 'zero' },
  C: { phase: 'span' },
  R: { phase: 'standby' },
  F: { phase: 'fault' },
  running: { plant: 'running' },
  off: { plant: 'off' },
  'start-up': { plant: 'start-up' },
  wet: { fault: 'condensate' },
  sound: { clears: true },
} as const

/** Names with values, a time in front where the stream is keyed by it: `2026-01-15T10:00:00.000Z MODE=S CO=112`. */
const profile = (names: readonly string[]): Exclude<Stream['profile'], string> => ({
  form: 'key-value',
  name: 'invented',
  between: ' ',
  time: { fields: [0], format: 'iso', zone: 'UTC' },
  fields: [{ name: 'mode', at: 'MODE' }, ...names.map((name) => ({ name, at: name.toUpperCase() }))],
  status: [{ field: 'mode', separator: '+', tokens: { ...tokens } }],
})

export const gas = (id: string, more: Partial<Channel> = {}): Channel => ({
  id,
  stream: 'main',
  field: id,
  unit: id === 'o2' ? 'vol%' : 'ppm',
  ...(speciesOf[id] ? { species: speciesOf[id] } : {}),
  ...more,
})
const speciesOf: Readonly<Record<string, Channel['species']>> = {
  o2: 'O2',
  co: 'CO',
  co2: 'CO2',
  nox: 'NOx',
  no: 'NO',
  no2: 'NO2',
}

type Differs = Omit<Partial<StationFileInput>, 'streams'> & {
  readonly stream?: Partial<Stream>
  readonly beside?: readonly Stream[]
}

/** A station with the stream `main`, a line a minute keyed by arrival, one channel `co`, no settling, half-hours; `differs` replaces parts. */
export function aNightStation({ stream, beside = [], ...differs }: Differs = {}): StationFile {
  const channels = differs.channels ?? [gas('co')]
  return stationFile.parse({
    format: 1,
    station: { name: 'Invented duct' },
    phases: { settle: { seconds: 0 } },
    averaging: { blocks: ['PT30M'] },
    ...differs,
    channels,
    streams: [besideStream('main', channels, stream), ...beside],
  })
}

export const besideStream = (id: string, channels: readonly Channel[], more: Partial<Stream> = {}): Stream => ({
  id,
  source: { kind: 'tcp', host: '127.0.0.1', port: 4001 },
  expectEverySeconds: 60,
  profile: profile(
    channels.filter((channel) => (channel.stream ?? 'main') === id && channel.field).map(({ field = '' }) => field),
  ),
  ...more,
})

type Values = Readonly<Record<string, number | string | null>>
const encoder = new TextEncoder()

/** The text of a line; null leaves the value out. */
export const lineText = (ownMs: number | null, values: Values): string =>
  [
    ...(ownMs === null ? [] : [new Date(ownMs).toISOString()]),
    ...Object.entries(values).flatMap(([key, value]) => (value === null ? [] : [`${key.toUpperCase()}=${value}`])),
  ].join(' ')

/** A line that arrives at `atMs`, with its own time beside it (the same unless told; null for none). */
export const aLine = (
  atMs: number,
  values: Values,
  {
    own = atMs,
    stream = 'main',
    piece = 'whole',
  }: { own?: number | null; stream?: string; piece?: LineEvent['piece'] } = {},
): LineEvent => ({
  kind: 'line',
  sequence: 0,
  stream,
  atMs,
  monotonicMs: 0,
  piece,
  bytes: encoder.encode(`${lineText(own, values)}\n`),
})
/** Lines one step apart from `fromMs` on; `of` gives each line's values by its number, null for no line. */
export const lines = (
  fromMs: number,
  count: number,
  stepMs: number,
  of: (number: number) => Values | null,
): LineEvent[] =>
  Array.from({ length: count }, (_, number) => number).flatMap((number) => {
    const values = of(number)
    return values === null ? [] : [aLine(fromMs + number * stepMs, values)]
  })

export const run = (change: RunEvent['change'], atMs: number): RunEvent => ({
  kind: 'run',
  change,
  atMs,
  monotonicMs: 0,
  reason: 'operator',
  by: 'A. Tester',
})
export const tick = (atMs: number): EngineEvent => ({ kind: 'time', atMs, monotonicMs: 0 })
export const link = (atMs: number, state: 'open' | 'lost'): EngineEvent => ({
  kind: 'link',
  stream: 'main',
  state,
  attempt: 1,
  detail: '',
  atMs,
  monotonicMs: 0,
})
export const operator = (atMs: number, action: OperatorAction): OperatorEvent => ({
  kind: 'operator',
  by: 'A. Tester',
  action,
  atMs,
  monotonicMs: 0,
})
/** The stretch [fromMs, toMs) of all streams and channels taken out. */
export const excluding = (atMs: number, fromMs: number, toMs: number, id = 'exclusion-1'): OperatorEvent =>
  operator(atMs, {
    do: 'exclude',
    exclusion: { id, stream: null, channel: null, fromMs, toMs, reason: 'probe was out' },
  })
/** A run around events. */
export const during = (startMs: number, endMs: number, events: readonly EngineEvent[]): EngineEvent[] => [
  run('start', startMs),
  ...events,
  run('end', endMs),
]

type Kind<K extends EngineOutput['kind']> = Extract<EngineOutput, { kind: K }>

/** All that an engine puts out, and the time of the event with which it came. */
export function outputsOf(
  station: StationFile,
  events: Iterable<EngineEvent>,
  options: Parameters<typeof drive>[3] = {},
) {
  const put: { readonly output: EngineOutput; readonly eventMs: number }[] = []
  drive(
    station,
    events,
    (outputs, event) => {
      for (const output of outputs) put.push({ output, eventMs: event.atMs })
    },
    options,
  )
  const all = put.map(({ output }) => output)
  const of = <K extends EngineOutput['kind']>(kind: K) =>
    all.filter((output): output is Kind<K> => output.kind === kind)
  const rows = (kind: 'block' | 'rolling', average: string, channel: string, quantity = 'as_read'): AverageRow[] =>
    all.flatMap((output) =>
      output.kind === kind &&
      output.row.average === average &&
      output.row.channel === channel &&
      output.row.quantity === quantity
        ? [output.row]
        : [],
    )
  return {
    all,
    put,
    of,
    blocks: (average: string, channel = 'co', quantity?: string) => rows('block', average, channel, quantity),
    rolling: (average: string, channel = 'co', quantity?: string) => rows('rolling', average, channel, quantity),
  }
}
/** The first half-hour of CO: what most cases are about. */
export function firstBlock(station: StationFile, events: Iterable<EngineEvent>): AverageRow {
  const [row] = outputsOf(station, events).blocks('PT30M')
  if (!row) throw new Error('no half-hour of CO was put out')
  return row
}
