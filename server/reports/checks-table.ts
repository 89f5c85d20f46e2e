import type { Amendments } from '../engine/amendments.ts'
import { isZeroable } from '../engine/corrections/zeroable.ts'
import type { ZeroOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { type Table, tableOf } from './table.ts'

export type ZeroRecord = Omit<ZeroOutput, 'kind'>

/** One answer of a channel to a gas that is known. Values in the channel's unit. */
interface Answer {
  readonly what: 'zero_record' | 'zero_check' | 'span_check'
  readonly channel: string
  readonly atMs: number
  readonly expected: number | null
  readonly response: number
  readonly deviation: number | null
  readonly count: number | null
  readonly direct: number | null
  readonly gas: string | null
  readonly clean: boolean | null
  readonly used: boolean | null
  readonly before: number | null
  readonly by: string | null
  readonly toldMs: number | null
  readonly id: string | null
}

/**
 * How the instrument was proven: what purges gave (`zero_record`) and the checks that persons told, in order of time. Where purge air
 * is no zero gas for a channel, as for oxygen, nothing is expected.
 */
export function checksTable(
  run: string,
  station: StationFile,
  zeros: Iterable<ZeroRecord>,
  checks: Amendments['checks'],
): Table {
  const unitOf = (id: string): string | null => station.channels.find((channel) => channel.id === id)?.unit ?? null
  const rows = [...[...zeros].map((zero) => ofZero(station, zero)), ...checks.map(ofCheck)].sort(
    (a, b) => a.atMs - b.atMs,
  )
  return tableOf('checks', () => rows, [
    ['run', 'text', () => run],
    ['what', 'text', (row) => row.what],
    ['channel', 'text', (row) => row.channel],
    ['time', 'time', (row) => row.atMs],
    ['unit', 'text', (row) => unitOf(row.channel)],
    ['expected', 'number', (row) => row.expected],
    ['response', 'number', (row) => row.response],
    ['standard_deviation', 'number', (row) => row.deviation],
    ['count', 'number', (row) => row.count],
    ['direct', 'number', (row) => row.direct],
    ['gas', 'text', (row) => row.gas],
    ['clean', 'truth', (row) => row.clean],
    ['used', 'truth', (row) => row.used],
    ['in_use_before', 'number', (row) => row.before],
    ['by', 'text', (row) => row.by],
    ['told', 'time', (row) => row.toldMs],
    ['id', 'text', (row) => row.id],
  ])
}

function ofZero(station: StationFile, zero: ZeroRecord): Answer {
  const index = station.channels.findIndex(({ id }) => id === zero.channel)
  return {
    what: 'zero_record',
    channel: zero.channel,
    atMs: zero.atMs,
    expected: isZeroable(station, index) ? 0 : null,
    response: zero.mean,
    deviation: zero.standardDeviation,
    count: zero.count,
    direct: null,
    gas: null,
    clean: zero.clean,
    used: zero.used,
    before: zero.inUse,
    by: null,
    toldMs: null,
    id: null,
  }
}

const ofCheck = (check: Amendments['checks'][number]): Answer => ({
  what: `${check.kind}_check`,
  channel: check.channel,
  atMs: check.performedMs,
  expected: check.expected,
  response: check.response,
  deviation: null,
  count: null,
  direct: check.direct,
  gas: check.gas,
  clean: null,
  used: null,
  before: null,
  by: check.by,
  toldMs: check.toldMs,
  id: check.id,
})
