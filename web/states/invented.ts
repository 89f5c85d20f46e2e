import type { AlarmStanding, ChannelInfo, LimitInfo, Outlook, StreamState } from '../../protocols/live/messages.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { IsoDuration } from '../../protocols/words/time.ts'
import { plainRoute, type Route } from '../route.ts'
import type { Session } from '../session.ts'
import type { PageLink, Station, ViewState } from '../store.ts'

/*
 * INVENTED, all of it: no station, instrument or gas is behind these figures. They stand still, so that two pictures of
 * the page can be compared.
 */
export const minute = 60_000
export const nowMs = Date.parse('2026-11-25T03:17:40Z')
/** Page time at which everything is drawn. */
export const pageMs = 100_000
export const halfHour = 'PT30M' as IsoDuration

const gas = {
  stream: 'main',
  quantity: null,
  basis: 'dry',
  selfZeroing: false,
  supporting: false,
  t95Seconds: 40,
} as const
export const oxygen: ChannelInfo = {
  ...gas,
  id: 'o2',
  name: 'O₂',
  species: 'O2',
  unit: 'vol%',
  origin: 'measured',
  decimals: 2,
  range: [0, 25],
  referred: null,
}
export const nox: ChannelInfo = {
  ...gas,
  id: 'nox',
  name: 'NOₓ',
  species: 'NOx',
  unit: 'ppm',
  origin: 'computed',
  decimals: 0,
  range: null,
  referred: { unit: 'mg/m3', referenceOxygen: 3, decimals: 0 },
}
export const sampleFlow: ChannelInfo = {
  ...gas,
  id: 'sample-flow',
  name: 'Sample flow',
  species: null,
  quantity: 'flow',
  basis: null,
  unit: 'L/min',
  origin: 'measured',
  decimals: 2,
  range: [0, 3],
  referred: null,
  supporting: true,
}
export const noxLimit: LimitInfo = {
  id: 'nox-30m',
  channel: 'nox',
  of: 'block',
  average: halfHour,
  kind: 'high',
  value: 200,
  unit: 'mg/m3',
  referenceOxygen: 3,
  basis: 'dry',
  quantity: 'at_reference_oxygen',
}

export const stream = (more: Partial<StreamState> = {}): StreamState => ({
  id: 'main',
  source: 'tcp 127.0.0.1:7001',
  link: 'open',
  linkSinceMs: nowMs - 300 * minute,
  linkDetail: '',
  attempt: 0,
  lastLineMs: nowMs,
  expectEverySeconds: 1,
  lines: 18_240,
  refused: {},
  phase: 'measure',
  phaseSinceMs: nowMs - 12 * minute,
  phaseCause: 'status',
  phaseInferred: false,
  next: { phase: 'purge', atMs: nowMs + 36 * minute, known: 'from the cycles so far' },
  ...more,
})
/** A stream that has told nothing for a while. */
export const silentStream = stream({
  link: 'silent',
  lastLineMs: nowMs - 42_000,
  linkDetail: 'opened again',
  attempt: 2,
})

export const row = (more: Partial<AverageRow> = {}): AverageRow => ({
  stream: 'main',
  channel: 'nox',
  species: 'NOx',
  quantity: 'at_reference_oxygen',
  unit: 'mg/m3',
  basis: 'dry',
  referenceOxygen: 3,
  conditions: '273.15K,101.325kPa',
  average: halfHour,
  startMs: nowMs - 17 * minute - 40_000,
  endMs: nowMs + 12 * minute + 20_000,
  mean: 186.2,
  minimum: 171.4,
  maximum: 203.9,
  standardDeviation: 6.3,
  count: 1020,
  countedMs: 17 * minute,
  coverage: 0.57,
  valid: false,
  reasons: [],
  detection: null,
  state: 'open',
  uncertainty: 6.1,
  verdicts: [],
  ...more,
})
export const outlook = (more: Partial<Outlook> = {}): Outlook => ({
  limit: noxLimit.id,
  channel: 'nox',
  average: halfHour,
  startMs: row().startMs,
  endMs: row().endMs,
  soFar: 186.2,
  likelyLow: 178,
  likelyHigh: 193,
  heading: 'below',
  reachesLimitMs: null,
  validity: 'on-course',
  countedMs: 17 * minute,
  neededMs: 20 * minute,
  ...more,
})

export const alarm = (more: Partial<AlarmStanding> = {}): AlarmStanding => ({
  alarm: 'health:condensate:main',
  class: 'health',
  cause: 'condensate',
  stream: 'main',
  channel: null,
  priority: 'high',
  state: 'raised',
  active: true,
  raisedMs: nowMs - 3 * minute,
  sinceMs: nowMs - 3 * minute,
  value: null,
  limit: null,
  unit: null,
  by: null,
  note: null,
  untilMs: null,
  count: 1,
  ...more,
})

export const station = (more: Partial<Station> = {}): Station => ({
  version: '0.1.0',
  mode: 'live',
  invented: true,
  station: 'Invented boiler, stack east',
  playback: null,
  clock: { stationMs: nowMs, speed: 1, zone: 'Europe/Berlin', standardTime: false, offsetMinutes: 60 },
  recording: {
    state: 'recording',
    storedUpToMs: nowMs - 200,
    waiting: 1,
    bytes: 4_812_800,
    detail: '',
    hoursLeft: 2140,
  },
  run: {
    recording: 'invented-night',
    name: 'Invented night',
    state: 'running',
    startMs: nowMs - 311 * minute,
    plannedMs: null,
    endMs: null,
    elapsedMs: 311 * minute,
    countedMs: 262 * minute,
    endRule: 'after 720 counted minutes',
    number: 1,
    of: 3,
  },
  streams: [stream()],
  plant: { state: 'running', sinceMs: nowMs - 400 * minute },
  channels: [oxygen, nox, sampleFlow],
  limits: [noxLimit],
  averages: { blocks: [halfHour], rolling: [], long: [], validity: 'two thirds of the block counted', align: 'clock' },
  results: {
    label: 'both',
    ties: 'half-away',
    decimals: null,
    significantFigures: null,
    comparison: 'absolute',
    uncertainty: 'subtract',
  },
  readings: [],
  openBlocks: [row()],
  outlooks: [outlook()],
  rolling: [],
  recentBlocks: [],
  alarms: [],
  logbook: [],
  phaseSpans: [],
  warnings: [],
  operatorTells: { phase: true, plant: true },
  ...more,
})

export const link = (more: Partial<PageLink> = {}): PageLink => ({
  state: 'open',
  sinceMs: pageMs - 60_000,
  attempt: 0,
  retryMs: null,
  ...more,
})
/** What the page knows; `null`: nothing has been told yet. */
export const view = (known: Station | null = station(), more: Partial<ViewState> = {}): ViewState => ({
  link: link(),
  station: known,
  clock: known && { stationMs: nowMs, pageMs, speed: known.playback ? 0 : known.clock.speed },
  sequence: 40,
  heardMs: known && pageMs,
  hole: false,
  unreadable: null,
  newVersion: null,
  trendBreaks: 0,
  ...more,
})
/** The page has heard nothing for three quarters of a minute and tries again. */
export const cutOff = view(station({ streams: [stream({ lastLineMs: nowMs - 45_000 })] }), {
  link: link({ state: 'lost', sinceMs: pageMs - 45_000, attempt: 4, retryMs: pageMs + 6000 }),
  heardMs: pageMs - 45_000,
})
export const replayed = station({
  mode: 'replay',
  playback: {
    recording: 'invented-night',
    startMs: nowMs - 311 * minute,
    endMs: nowMs + 240 * minute,
    atMs: nowMs,
    playing: false,
    recordedSpeed: 1,
    speed: 60,
  },
})

/** A session that hears nobody and whose clock stands still. */
export function stillSession(state: ViewState = view(), route: Partial<Route> = {}): Session {
  const clock = state.clock && { ...state.clock, pageMs: 0, speed: 0 }
  const heardMs = state.heardMs === null ? null : Number.MAX_SAFE_INTEGER
  const still = {
    state: { ...state, clock, heardMs },
    route: { ...plainRoute, ...route },
    shownAverage: halfHour,
    now: () => nowMs,
    go: () => {},
    redraw: () => {},
  }
  return still as Partial<Session> as Session
}
