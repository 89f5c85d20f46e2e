import { mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { replay } from '../../../server/commands/replay.ts'
import { exportRecordingTo } from '../../../server/station/export-recording.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
import { Station } from '../../../server/station/station.ts'
import { aNightStation, besideStream, gas, lineText, minute, ten } from '../../support/engine-night.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-replay-'))
afterAll(() => rmSync(folder, { recursive: true }))

test('a form of files without a folder for them is refused, not passed over', async () => {
  await expect(replay('night.log', { format: 'xlsx', decimal: '.' })).rejects.toThrow(
    '--format xlsx: is the form of files; --out DIR says where they go',
  )
})

test('a text log is told to be that of the first of several streams', async () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const station = aNightStation({
    channels,
    stream: { timeFrom: 'line' },
    beside: [besideStream('beside', channels, { timeFrom: 'line' })],
  })
  const [file, log] = [join(folder, 'two.json'), join(folder, 'two.log')]
  writeFileSync(file, JSON.stringify(station))
  writeFileSync(log, `${lineText(ten, { mode: 'S', co: 1 })}\n`)
  let said = ''
  const spy = vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    said += text
    return true
  })
  await replay(log, { station: file, out: join(folder, 'two'), decimal: '.' })
  spy.mockRestore()
  expect(said).toContain(`${log}: its lines are taken for those of main, the first stream; beside has none`)
})

test('a replay writes of a recording, under whatever name it is kept, the very tables that its export does', async () => {
  const log = join(folder, 'boiler.log')
  const text = Array.from({ length: 60 }, (_, number) => lineText(ten + number * minute, { mode: 'S', co: number }))
  writeFileSync(log, `${text.join('\n')}\n`)
  const station = aNightStation({ stream: { timeFrom: 'line' } })
  const recording = join(folder, 'as-imported.flue.sqlite')
  await importLogTo(log, station, JSON.stringify(station), recording)
  const kept = join(folder, 'copied.flue.sqlite')
  renameSync(recording, kept)
  const [replayed, exported] = [join(folder, 'replayed'), join(folder, 'exported')]
  await replay(kept, { out: replayed, decimal: '.' })
  await exportRecordingTo(kept, { folder: exported, formats: ['csv'], decimal: '.' })
  for (const table of [
    'blocks.csv',
    'readings.csv',
    'checks.csv',
    'phases.csv',
    'logbook.csv',
    'settings-in-force.csv',
  ])
    expect(readFileSync(join(replayed, table), 'utf8')).toBe(readFileSync(join(exported, table), 'utf8'))
  expect(readFileSync(join(replayed, 'blocks.csv'), 'utf8').split('\n')[1]).toMatch(/^boiler\.log,/)
})

test('a replay writes the logbook that an export writes: what persons did, links and the run itself', async () => {
  const clock = stationClock()
  const data = mkdtempSync(join(folder, 'data-'))
  const station = new Station({ station: aNightStation(), folder: data, clock, invented: true, log: () => {} })
  await station.start()
  await station.act({ do: 'note', by: 'A. Tester', text: 'probe moved', pressedMs: clock.stationMs() })
  const { path } = station.run.writer
  await station.stop()
  const [replayed, exported] = [join(folder, 'night-replayed'), join(folder, 'night-exported')]
  await replay(path, { out: replayed, decimal: '.' })
  await exportRecordingTo(path, { folder: exported, formats: ['csv'], decimal: '.' })
  const [ofReplay, ofExport] = [replayed, exported].map((out) => readFileSync(join(out, 'logbook.csv'), 'utf8'))
  expect(ofReplay).toMatch(/run: start .*\n(.*\n)*.*,probe moved,A\. Tester,(.*\n)+.*run: suspend/)
  expect(ofReplay).toBe(ofExport)
})
