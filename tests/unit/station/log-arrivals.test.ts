import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import type { EngineEvent } from '../../../server/engine/events.ts'
import type { EngineOutput } from '../../../server/engine/outputs.ts'
import { drive, logEvents } from '../../../server/station/drive-engine.ts'
import { logArrivals } from '../../../server/station/log-arrivals.ts'
import { aChannel, aStation } from '../../support/a-station.ts'

// When the lines of a text log arrived: our own rule, said in docs/line-profiles.md. No source.

const folder = mkdtempSync(join(tmpdir(), 'flueledger-arrivals-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const columns = (more: object = {}, timeFrom: 'line' | 'arrival' = 'line', format = 'iso') =>
  aStation([aChannel('co', { species: 'CO' })], {
    streams: [
      {
        id: 'main',
        source: { kind: 'tcp', host: '127.0.0.1', port: 4000 },
        expectEverySeconds: 10,
        timeFrom,
        profile: {
          form: 'delimited',
          name: 'invented',
          comment: ['#'],
          fields: [{ name: 'co', at: 1 }],
          time: { fields: [0], format, zone: 'UTC' },
          ...more,
        },
      },
    ],
  })

/** What arrived when (time of day, or the day where it is another), and what the engine said of it. */
function played(station: ReturnType<typeof columns>, text: string, isShared = true) {
  const path = join(mkdtempSync(join(folder, 'log-')), 'lines.log')
  writeFileSync(path, text)
  const arrived: string[] = []
  const told: EngineOutput[] = []
  const noting = function* (events: Iterable<EngineEvent>) {
    for (const event of events) {
      if (event.kind === 'line') arrived.push(new Date(event.atMs).toISOString())
      yield event
    }
  }
  drive(
    station,
    (engine) => noting(logEvents(station, path, logArrivals(station, path, isShared ? engine : undefined))),
    (outputs) => told.push(...outputs),
    { listening: true, unendedCounts: true },
  )
  return { arrived, told }
}
const clock = (times: readonly string[]) => times.map((time) => time.slice(11, 19))

test('a header before the first time arrives with the line that tells it, not in 1970', () => {
  const { arrived } = played(
    columns({ header: true, fields: [{ name: 'co', at: 'CO' }] }),
    'time;CO\n2026-01-15T10:00:00;5\n2026-01-15T10:00:10;6\n',
  )
  expect(arrived).toEqual(['2026-01-15T10:00:00.000Z', '2026-01-15T10:00:00.000Z', '2026-01-15T10:00:10.000Z'])
})

test('lines without a readable time before the first with one arrive a step apart up to it; a comment takes no step', () => {
  const { arrived } = played(columns(), 'half;5\n# began\n?;6\n2026-01-15T10:00:00;7\n?;8\n2026-01-15T10:00:20;9\n')
  expect(clock(arrived)).toEqual(['09:59:40', '09:59:50', '09:59:50', '10:00:00', '10:00:00', '10:00:20'])
})

test('no silence is told before the first line of a log that begins with a header', () => {
  const { told } = played(
    columns({ header: true, fields: [{ name: 'co', at: 'CO' }] }),
    'time;CO\n2026-01-15T10:00:00;5\n2026-01-15T10:00:10;6\n',
  )
  expect(told.filter(({ kind }) => kind === 'alarm')).toEqual([])
})

test('lines of which none tells a time arrive a step apart from 1970 on', () => {
  expect(played(columns(), '?;5\n?;6\n').arrived).toEqual(['1970-01-01T00:00:00.000Z', '1970-01-01T00:00:10.000Z'])
})

test.each([
  ['keyed by its lines', 'line', 'iso', ['2026-01-15T23:59:50', '2026-01-16T00:00:00', '2026-01-16T00:00:05']],
  ['keyed by arrival', 'arrival', 'iso', ['2026-01-15T23:59:50', '2026-01-16T00:00:00', '2026-01-16T00:00:05']],
  ['whose times have no date', 'line', 'HH:mm:ss', ['23:59:50', '00:00:00', '00:00:05']],
] as const)('a log %s gives the same whether its lines are read once or twice', (_, timeFrom, format, times) => {
  const station = columns({}, timeFrom, format)
  const text = `x\n${times.map((time, number) => `${time};${number}\n`).join('')}# end\n${times[2]};9`
  expect(played(station, text, true)).toEqual(played(station, text, false))
})
