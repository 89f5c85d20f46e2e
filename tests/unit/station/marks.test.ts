import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { conversionPlan } from '../../../server/engine/conversions/conversion-plan.ts'
import type { MarksQuery } from '../../../server/http/station-face.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { StoredRuns } from '../../../server/station/stored-runs.ts'
import { aChannel, aStation } from '../../support/a-station.ts'
import { anAverage } from '../../support/an-average.ts'
import { aHeader } from '../../support/recording-content.ts'

// Charts draw from columns what the tables of a recording hold row by row. Both are held against each other; the rows are
// invented.

const minuteMs = 60_000
const startMs = Date.UTC(2026, 0, 15)
const hours = 6
const folder = mkdtempSync(join(tmpdir(), 'flueledger-marks-'))
const path = join(folder, 'a.flue.sqlite')
const runs = new StoredRuns(folder)

const block = (channel: string, quantity: AverageRow['quantity'], minutes: number, place: number): AverageRow =>
  anAverage({
    channel,
    quantity,
    average: `PT${minutes}M` as IsoDuration,
    startMs: startMs + place * minutes * minuteMs,
    endMs: startMs + (place + 1) * minutes * minuteMs,
    // Nothing counted in the fourth half-hour.
    mean: minutes === 30 && place === 3 ? null : place + (quantity === 'as_read' ? 0 : 0.5),
    valid: place % 2 === 0,
  })
const blocks = [30, 1].flatMap((minutes) =>
  Array.from({ length: (hours * 60) / minutes }, (_, place) => [
    block('o2', 'as_read', minutes, place),
    block('co', 'as_read', minutes, place),
    block('co', 'drift_corrected', minutes, place),
    block('co', 'mass_concentration', minutes, place),
  ]).flat(),
)
const query = (more: Partial<MarksQuery> = {}): MarksQuery => ({
  fromMs: startMs,
  toMs: startMs + hours * 60 * minuteMs,
  average: 'PT30M',
  channels: { asRead: [], corrected: ['o2'], referred: ['co'] },
  flagsToMs: startMs,
  columns: 180,
  ...more,
})

beforeAll(async () => {
  const writer = await createRecording(path, aHeader({ settings: '{"streams":[{"id":"main"}]}' }))
  writer.derive(blocks.map((row) => ({ table: 'block' as const, row })))
  writer.derive(
    (['measure', 'purge', 'measure'] as const).map((phase, place) => ({
      table: 'phase-span' as const,
      row: {
        stream: 'main',
        phase,
        startMs: startMs + place * minuteMs,
        endMs: place === 2 ? null : startMs + (place + 1) * minuteMs,
        cause: 'status' as const,
        inferred: false,
        readings: 60,
      },
    })),
  )
  await writer.close()
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test.each(['PT30M', 'PT1M'])(
  'means of %s in columns are those of the rows, whatever other lengths lie between',
  (average) => {
    const { steps } = runs.marks(path, query({ average }))
    const rows = [...runs.blocks(path, { kind: 'block', average, channel: 'co', quantity: 'mass_concentration' })]
    expect(steps.startMs).toEqual(rows.map((row) => row.startMs))
    expect(steps.endMs).toEqual(rows.map((row) => row.endMs))
    expect(steps.channels.co).toEqual({
      quantity: 'mass_concentration',
      mean: rows.map(({ mean }) => mean),
      valid: rows.map(({ valid }) => (valid ? 1 : 0)),
    })
  },
)

test('each channel has the best value that there is at the stage asked for', () => {
  const quantityOf = (channels: MarksQuery['channels']) =>
    Object.entries(runs.marks(path, query({ channels })).steps.channels).map(
      ([id, { quantity }]) => `${id} ${quantity}`,
    )
  expect(quantityOf({ asRead: ['co'], corrected: ['o2'], referred: [] })).toEqual(['co as_read', 'o2 as_read'])
  expect(quantityOf({ asRead: [], corrected: ['co'], referred: ['o2'] })).toEqual(['co drift_corrected'])
})

test('a stretch has the blocks that reach into it, and none where no length is named', () => {
  const stretch = { fromMs: startMs + 45 * minuteMs, toMs: startMs + 120 * minuteMs }
  expect(runs.marks(path, query(stretch)).steps.startMs).toEqual([30, 60, 90].map((at) => startMs + at * minuteMs))
  const after = { fromMs: startMs + 60 * minuteMs, toMs: startMs + 120 * minuteMs }
  expect(runs.marks(path, query(after)).steps.startMs).toEqual([60, 90].map((at) => startMs + at * minuteMs))
  expect(runs.marks(path, query({ average: undefined })).steps).toEqual({ startMs: [], endMs: [], channels: {} })
})

test('phases in columns are those of the rows; the last is open', () => {
  const [from, to] = [startMs + 1.5 * minuteMs, startMs + 9 * minuteMs]
  const rows = runs.phases(path, from, to)
  expect(runs.marks(path, query({ fromMs: from, toMs: to })).phases).toEqual({
    main: {
      startMs: rows.map((row) => row.startMs),
      endMs: rows.map(({ endMs }) => endMs),
      phase: rows.map(({ phase }) => phase),
    },
  })
  expect(rows.map(({ phase }) => phase)).toEqual(['purge', 'measure'])
})

test('where limits ask for a gas in several units, a chart has its means in the unit of its trace', async () => {
  const limit = { channel: 'co', of: 'block', average: 'PT30M', priority: 'high' } as const
  const station = aStation(
    [aChannel('o2', { species: 'O2', unit: 'vol%' }), aChannel('co', { species: 'CO', unit: 'ppm' })],
    {
      conversions: { referenceOxygen: 3 },
      averaging: { blocks: ['PT30M'] },
      limits: [
        { ...limit, id: 'in-ppb', value: 200_000, unit: 'ppb' },
        { ...limit, id: 'referred-ppm', value: 200, unit: 'ppm', referenceOxygen: 3 },
        { ...limit, id: 'referred-mass', value: 100, unit: 'mg/m3', referenceOxygen: 3 },
      ],
    },
  )
  const several = join(folder, 'several-units.flue.sqlite')
  const writer = await createRecording(several, aHeader({ settings: JSON.stringify(station) }))
  const told = { startMs, endMs: startMs + 30 * minuteMs }
  for (const row of [
    anAverage({ ...told, quantity: 'drift_corrected', unit: 'ppm', mean: 100 }),
    anAverage({ ...told, quantity: 'drift_corrected', unit: 'ppb', mean: 100_000 }),
    anAverage({ ...told, quantity: 'at_reference_oxygen', unit: 'mg/m3', mean: 160.7, referenceOxygen: 3 }),
    anAverage({ ...told, quantity: 'at_reference_oxygen', unit: 'ppm', mean: 128.6, referenceOxygen: 3 }),
  ])
    writer.derive([{ table: 'block', row }])
  await writer.close()
  const meansOf = (channels: MarksQuery['channels']) => runs.marks(several, query({ channels })).steps.channels.co?.mean
  expect(meansOf({ asRead: [], corrected: ['co'], referred: [] })).toEqual([100])
  const { values, referred } = conversionPlan(station)
  const shown = values[referred[1] ?? -1]?.unit
  expect(meansOf({ asRead: [], corrected: [], referred: ['co'] })).toEqual([shown === 'ppm' ? 128.6 : 160.7])
})
