import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, expect, test } from 'vitest'
import type { StationFile } from '../../../server/engine/settings/station-file.ts'
import type { Unnumbered } from '../../../server/recording/recording.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { explainRecording } from '../../../server/station/explain/explain-recording.ts'
import type { RecordedRun } from '../../../server/station/recorded-run.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, besideStream, gas, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

const hour = 60 * minute
const station = aNightStation({ channels: [gas('co'), gas('o2')], averaging: { blocks: ['PT10M', 'PT30M'] } })
let written: RecordedRun | null = null
afterEach(async () => {
  await written?.close()
  written = null
})

function passes(run: RecordedRun, fromMs: number, toMs: number): void {
  for (let ms = fromMs; ms <= toMs; ms += 250) run.pass(ms, 0)
}

/** 45 minutes of lines, then none, while time passes to `toMs`: blocks end, silence is told. It goes on being written. */
async function timePasses(toMs: number, of: StationFile = station): Promise<string> {
  const path = join(aFolder(), 'night.flue.sqlite')
  const run = await aRecordedRun(path, of)
  written = run
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 45, minute, (n) => ({ mode: 'S', co: 40 + n, o2: 6 }))) run.take(line)
  passes(run, ten + 45 * minute, toMs)
  await run.writer.flush()
  return path
}
const faultsOf = (path: string): readonly string[] => verifyRecording(path).recomputation.faults

/** What verify says after somebody with a database program was there. */
function faultsAfter(path: string, edit: string): readonly string[] {
  const db = new Database(path)
  const { changes } = db.prepare(edit).run()
  db.close()
  expect(changes).toBeGreaterThan(0)
  return faultsOf(path)
}

test.each([
  { what: 'nothing yet', toMs: ten + 45 * minute },
  { what: 'the end of a block and silence', toMs: ten + 52 * minute },
  { what: 'the end of blocks of two lengths', toMs: ten + hour + 5 * minute },
  { what: 'blocks without any line', toMs: ten + 3 * hour },
])('a recording in the making verifies where passing time has brought $what', async ({ toMs }) => {
  const path = await timePasses(toMs)
  expect(faultsOf(path)).toEqual([])
})

test('silence that passing time has brought is there and verifies', async () => {
  const path = await timePasses(ten + 52 * minute)
  const reader = openRecording(path)
  const causes = reader.alarms().map(({ cause }) => cause)
  reader.close()
  expect(causes).toContain('silence')
  expect(faultsOf(path)).toEqual([])
})

test('a recording of two instruments verifies where one of them never speaks', async () => {
  const channels = [gas('co'), gas('flow', { stream: 'outlet', quantity: 'flow', unit: 'm3/h' })]
  const both = aNightStation({ channels, beside: [besideStream('outlet', channels)], averaging: { blocks: ['PT10M'] } })
  const path = await timePasses(ten + 2 * hour, both)
  expect(faultsOf(path)).toEqual([])
})

test('a recording keyed by the lines’ own time verifies where passing time has brought averages', async () => {
  const byLine = aNightStation({ stream: { timeFrom: 'line' }, averaging: { blocks: ['PT10M'], rolling: ['PT1H'] } })
  const path = await timePasses(ten + 2 * hour, byLine)
  expect(faultsOf(path)).toEqual([])
})

const lastHalfHour = `average = 'PT30M' AND start_ms = ${ten + 30 * minute}`
test.each([
  {
    what: 'changed',
    edit: `UPDATE block SET mean = mean + 1 WHERE channel = 'co' AND ${lastHalfHour}`,
    found: /co.* stored otherwise than recomputed \(mean\)$/,
  },
  {
    what: 'taken out',
    edit: `DELETE FROM block WHERE channel = 'co' AND ${lastHalfHour}`,
    found: /co.* recomputed, but not stored$/,
  },
  {
    what: 'invented for a time that has not come',
    edit: `UPDATE block SET start_ms = start_ms + ${2 * hour}, end_ms = end_ms + ${2 * hour} WHERE channel = 'co' AND average = 'PT30M' AND start_ms = ${ten}`,
    found: /co.* (recomputed, but not stored|stored, but the lines do not give it)$/,
  },
])('an average among those that passing time has brought is found when it was $what', async ({ edit, found }) => {
  const path = await timePasses(ten + hour + 5 * minute)
  const faults = faultsAfter(path, edit)
  expect(faults.length).toBeGreaterThan(0)
  for (const fault of faults) expect(fault).toMatch(found)
})

test('an alarm among those that passing time has brought is found when it was taken out', async () => {
  const path = await timePasses(ten + hour + 5 * minute)
  expect(faultsAfter(path, "DELETE FROM alarm_transition WHERE cause = 'silence'")).not.toEqual([])
})

test('after its end a run brings nothing more by time: an average beyond it is found', async () => {
  const path = await timePasses(ten + hour + 5 * minute)
  written?.take(runEvent('suspend', ten + hour + 5 * minute))
  await written?.close()
  written = null
  expect(faultsOf(path)).toEqual([])
  const next = `start_ms = start_ms + ${10 * minute}, end_ms = end_ms + ${10 * minute}`
  expect(
    faultsAfter(path, `UPDATE block SET ${next} WHERE average = 'PT10M' AND start_ms = ${ten + 50 * minute}`),
  ).toContainEqual(expect.stringMatching(/stored, but the lines do not give it$/))
})

const linkOpens: Unnumbered = {
  kind: 'link',
  stream: 'main',
  state: 'open',
  attempt: 1,
  detail: '',
  atMs: ten,
  monotonicMs: 0,
}

test('a recording of lines outside a run verifies where silence came after the last of them', async () => {
  const path = join(aFolder(), 'standby.flue.sqlite')
  const run = await aRecordedRun(path, station, { standby: true })
  run.take(linkOpens)
  passes(run, ten + 250, ten + hour)
  await run.close()
  const reader = openRecording(path)
  expect(reader.alarms()).not.toEqual([])
  reader.close()
  expect(faultsOf(path)).toEqual([])
})

test('an average that passing time has brought is explained as it is stored', async () => {
  const path = await timePasses(ten + hour + 5 * minute)
  const asked = { startMs: ten + 30 * minute, channel: 'co', average: 'PT30M', quantity: 'as_read' } as const
  // Of 45 lines of 40, 41, 42 … ppm, one a minute, the last fifteen lie in it: 70 to 84.
  expect(explainRecording(path, asked)).toMatchObject({
    agrees: true,
    difference: null,
    readingsInAll: 15,
    row: { mean: 77, state: 'final' },
  })
})
