import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { IsoDuration } from '../../protocols/words/time.ts'

/** A valid half-hour of `co` as read, from 2026-11-25T22:00:00+01:00. */
export const anAverage = (more: Partial<AverageRow> = {}): AverageRow => ({
  stream: 'main',
  channel: 'co',
  species: 'CO',
  quantity: 'as_read',
  unit: 'ppm',
  basis: 'dry',
  referenceOxygen: null,
  conditions: null,
  average: 'PT30M' as IsoDuration,
  startMs: Date.UTC(2026, 10, 25, 21),
  endMs: Date.UTC(2026, 10, 25, 21, 30),
  mean: 41.25,
  minimum: -0.5,
  maximum: 97,
  standardDeviation: 3.5,
  count: 1790,
  countedMs: 1_790_500,
  coverage: 0.9947,
  valid: true,
  reasons: [],
  detection: null,
  state: 'final',
  uncertainty: null,
  verdicts: [],
  ...more,
})
