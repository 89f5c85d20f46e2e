import { html } from 'lit'
import type { RecordingSummary } from '../../protocols/live/requests.ts'
import type { TestAnswer, TestRow } from '../../protocols/live/test.ts'
import { minute, nowMs, noxLimit, station } from './invented.ts'
import type { Group } from './shown.ts'
import '../views/recordings/test-of-runs.ts'

const names = ['run-1', 'run-2', 'run-3']
const startMs = (place: number) => nowMs - (300 - place * 90) * minute
const recordings = names.map(
  (name, place): RecordingSummary => ({
    id: name,
    name,
    station: 'invented',
    state: 'ended',
    startMs: startMs(place),
    endMs: startMs(place) + 60 * minute,
    lines: 3600,
    bytes: 400_000,
    seals: 60,
    head: null,
    speed: 1,
    invented: true,
    detail: '',
  }),
)
const run = (mean: number | null): TestRow['runs'][number] => ({
  mean,
  valid: mean !== null,
  countedMs: mean === null ? 0 : 58 * minute,
  uncertainty: mean === null ? null : 7.1,
  reasons: mean === null ? ['nothing_counted'] : [],
})
const row: TestRow = {
  stream: 'main',
  channel: 'nox',
  species: 'NOx',
  quantity: 'at_reference_oxygen',
  unit: 'mg/m3',
  basis: 'dry',
  referenceOxygen: 3,
  conditions: '273.15 K, 101.325 kPa',
  mean: 186.2,
  valid: true,
  detection: 'ADL',
  uncertainty: 7.1,
  verdicts: [{ limit: noxLimit.id, verdict: 'below', complies: true, result: 186.2 }],
  spread: { minimum: 180.1, maximum: 193.4, standardDeviation: 6.74 },
  runs: [run(180.1), run(185.1), run(193.4)],
}
const answer = (rows: readonly TestRow[], notes: readonly string[] = []): TestAnswer => ({
  runs: names.map((recording, place) => ({
    recording,
    name: recording,
    startMs: startMs(place),
    endMs: startMs(place) + 60 * minute,
    invented: true,
  })),
  channels: [...station().channels],
  limits: [noxLimit],
  results: station().results,
  rows: [...rows],
  notes: [...notes],
})
const test = (found: TestAnswer) => html`<test-of-runs .runs=${recordings} .answer=${found}></test-of-runs>`

export const testStates: Group = {
  name: 'Test of several runs',
  isWide: true,
  shown: [
    ['one run chosen', html`<test-of-runs .runs=${recordings.slice(0, 1)}></test-of-runs>`],
    ['ready', html`<test-of-runs .runs=${recordings}></test-of-runs>`],
    ['under way', html`<test-of-runs .runs=${recordings} .busy=${true}></test-of-runs>`],
    [
      'refused',
      html`<test-of-runs .runs=${recordings} .errors=${['run-3: its run has not ended, so it has no average over the run yet']}></test-of-runs>`,
    ],
    ['a test', test(answer([row]))],
    [
      'above its limit',
      test(
        answer([
          { ...row, mean: 212, verdicts: [{ limit: noxLimit.id, verdict: 'above', complies: false, result: 212 }] },
        ]),
      ),
    ],
    [
      'a run is invalid',
      test(
        answer([
          {
            ...row,
            valid: false,
            verdicts: [],
            runs: [
              run(180.1),
              { ...run(185.1), valid: false, countedMs: 20 * minute, reasons: ['minutes_short'] },
              run(193.4),
            ],
          },
        ]),
      ),
    ],
    [
      'a run has no mean',
      test(
        answer([
          {
            ...row,
            mean: null,
            valid: false,
            uncertainty: null,
            verdicts: [],
            spread: null,
            runs: [run(180.1), run(null), run(193.4)],
          },
        ]),
      ),
    ],
    ['with what must be known', test(answer([row], ['no result for so2, as read, ppm, dry: only run-1 has it']))],
  ],
}
