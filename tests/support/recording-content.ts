import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { IsoDuration } from '../../protocols/words/time.ts'
import type { LineEvent, LinkEvent, RunEvent } from '../../server/engine/events.ts'
import type { RecordingHeader, Unnumbered } from '../../server/recording/recording.ts'

/** 2026-11-25T21:00:00Z */
export const eveningMs = 1_795_640_400_000

export const aHeader = (with_: Partial<RecordingHeader> = {}): RecordingHeader => ({
  runName: 'Night run',
  station: 'Boiler house',
  settings: '{"format":1,"note":"Kessel 2, süd"}',
  madeMs: eveningMs,
  engineVersion: '0.1.0',
  standby: false,
  invented: true,
  origin: 'live',
  numberOfRuns: [1, 3],
  ...with_,
})

/** The n-th line of a stream that tells every second. */
export const aLine = (n: number, with_: Partial<Omit<LineEvent, 'kind' | 'sequence'>> = {}): Unnumbered<LineEvent> => ({
  kind: 'line',
  stream: 'main',
  atMs: eveningMs + n * 1000,
  monotonicMs: 5000 + n * 1000,
  piece: 'whole',
  bytes: Buffer.from(`${n};8,1;112;-0,3\r\n`, 'latin1'),
  ...with_,
})
export const aLink = (n: number, state: LinkEvent['state'] = 'lost'): LinkEvent => ({
  kind: 'link',
  stream: 'main',
  atMs: eveningMs + n * 1000,
  monotonicMs: 5000 + n * 1000,
  state,
  attempt: 1,
  detail: 'cable pulled\n"twice"',
})
export const aRunChange = (n: number, change: RunEvent['change']): RunEvent => ({
  kind: 'run',
  atMs: eveningMs + n * 1000,
  monotonicMs: 5000 + n * 1000,
  change,
  reason: 'operator',
  by: 'Kim',
})

export const aBlock = (n: number, with_: Partial<AverageRow> = {}): AverageRow => ({
  stream: 'main',
  channel: 'co',
  species: 'CO',
  quantity: 'as_read',
  unit: 'ppm',
  basis: 'dry',
  referenceOxygen: null,
  conditions: null,
  average: 'PT1M' as IsoDuration,
  startMs: eveningMs + n * 60_000,
  endMs: eveningMs + (n + 1) * 60_000,
  mean: 0.1 + 0.2,
  minimum: -0.3,
  maximum: 112,
  standardDeviation: 1 / 3,
  count: 60,
  countedMs: 60_000,
  coverage: 1,
  valid: true,
  reasons: [],
  detection: null,
  state: 'final',
  uncertainty: null,
  verdicts: [],
  ...with_,
})
