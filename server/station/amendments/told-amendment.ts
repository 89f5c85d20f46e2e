import type { AmendRequest } from '../../../protocols/live/amend.ts'
import type { Amendments } from '../../engine/amendments.ts'
import type { OperatorAction, RecordedEvent } from '../../engine/events.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import { amendmentsOf, isAmendment } from '../../engine/told-amendments.ts'
import type { Refused } from '../../http/station-face.ts'
import type { RecordingReader } from '../../recording/recording-reader.ts'
import { stationFromSettings } from '../recorded-settings.ts'
import { checkOf, isToldTime, toldTimeRule } from '../told-check.ts'

/** What of a run decides whether it can be amended so. Times as its averages have them, ms. */
export interface AmendedRunFacts {
  readonly station: StationFile
  readonly standby: boolean
  readonly startMs: number | null
  readonly endMs: number | null
  readonly amendments: Amendments
  /** How many amendments were told so far, withdrawn ones included. */
  readonly told: number
}

const dayMs = 86_400_000

export type ToldAmendment = { readonly ok: true; readonly id: string; readonly action: OperatorAction } | Refused

/** A stream keyed by its own lines may run on another clock than the station: both count as the time of the run. */
export function factsOf(reader: RecordingReader, nowMs: number | null): AmendedRunFacts {
  const changes = reader.changes()
  const spans = reader.phaseSpans()
  const runs = changes.filter((event): event is Extract<RecordedEvent, { kind: 'run' }> => event.kind === 'run')
  const start = runs.find(({ change }) => change === 'start')?.atMs
  const last = runs.at(-1)
  const end = last?.change === 'end' ? last.atMs : (nowMs ?? reader.extent().lastMs)
  const starts = [...spans.map(({ startMs }) => startMs), ...(start === undefined ? [] : [start])]
  const ends = [...spans.flatMap(({ endMs }) => endMs ?? []), ...(end === null ? [] : [end])]
  return {
    station: stationFromSettings(reader.header.settings),
    standby: reader.header.standby,
    startMs: start === undefined ? null : Math.min(...starts),
    endMs: start === undefined ? null : Math.max(...ends),
    amendments: amendmentsOf(changes),
    told: changes.filter(isAmendment).length,
  }
}

/** The operator's action that a request asks for, or why it cannot be. `nowMs`: of the telling. */
export function toldAmendment(request: AmendRequest, facts: AmendedRunFacts, nowMs: number): ToldAmendment {
  if (facts.standby || facts.startMs === null || facts.endMs === null)
    return { ok: false, status: 409, errors: ['no run is in this recording: there is nothing to amend'] }
  if (request.do === 'withdraw') {
    const { exclusions, checks } = facts.amendments
    const known = [...exclusions, ...checks].map(({ id }) => id)
    if (known.includes(request.id))
      return { ok: true, id: request.id, action: { do: 'withdraw', id: request.id, reason: request.reason } }
    const there = known.length === 0 ? 'nothing amends this run' : `there are ${known.join(', ')}`
    return { ok: false, status: 404, errors: [`id: there is no ${JSON.stringify(request.id)}; ${there}`] }
  }
  if (request.do === 'check') {
    // A run at speed may have ended in the future of the wall clock: its checks came after it, within a day.
    const latestMs = facts.endMs > nowMs ? facts.endMs + dayMs : nowMs
    const told = checkOf(facts.station, request, request.performedMs, latestMs, facts.told + 1)
    return told.ok ? { ok: true, id: told.check.id, action: { do: 'check', check: told.check } } : told
  }
  const errors = exclusionFaults(request, facts.station, facts.startMs, facts.endMs)
  if (errors.length > 0) return { ok: false, status: 400, errors }
  const id = `exclusion-${facts.told + 1}`
  const { fromMs, toMs, stream, channel, reason } = request
  return { ok: true, id, action: { do: 'exclude', exclusion: { id, fromMs, toMs, stream, channel, reason } } }
}

function exclusionFaults(
  { fromMs, toMs, stream, channel }: Extract<AmendRequest, { do: 'exclude' }>,
  station: StationFile,
  startMs: number,
  endMs: number,
): string[] {
  const text = (ms: number): string => new Date(ms).toISOString()
  const ids = (list: readonly { readonly id: string }[]): string => list.map(({ id }) => id).join(', ')
  const found = station.channels.find(({ id }) => id === channel)
  return [
    ...(isToldTime(fromMs) && isToldTime(toMs) ? [] : [`fromMs, toMs: ${toldTimeRule}`]),
    ...(toMs > fromMs ? [] : [`toMs: must be later than fromMs`]),
    ...(fromMs < endMs && toMs > startMs && fromMs >= startMs && toMs <= endMs
      ? []
      : [`fromMs, toMs: must lie within the run, from ${text(startMs)} to ${text(endMs)}`]),
    ...(stream === null || station.streams.some(({ id }) => id === stream)
      ? []
      : [`stream: there is no ${JSON.stringify(stream)}; there are ${ids(station.streams)}, or null for all`]),
    ...(channel === null || found
      ? []
      : [`channel: there is no ${JSON.stringify(channel)}; there are ${ids(station.channels)}, or null for all`]),
    ...(stream !== null && found?.stream !== undefined && found.stream !== stream
      ? [`channel: ${found.id} is of stream ${found.stream}, not of ${stream}`]
      : []),
  ]
}
