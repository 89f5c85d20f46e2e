import { mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { replay } from '../../../server/commands/replay.ts'
import { exportRecordingTo } from '../../../server/station/export-recording.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
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
