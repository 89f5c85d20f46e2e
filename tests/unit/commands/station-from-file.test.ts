import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { stationFromFile } from '../../../server/commands/station-from-file.ts'

const folder = mkdtempSync(join(tmpdir(), 'station-'))
afterAll(() => rmSync(folder, { recursive: true }))

test('a note on a station file names its setting, also where the file is put to use', () => {
  const path = join(folder, 'night.json')
  const station = {
    format: 1,
    station: { name: 'Invented duct' },
    streams: [
      {
        id: 'main',
        source: { kind: 'tcp', host: '127.0.0.1', port: 4001 },
        expectEverySeconds: 1,
        profile: { form: 'key-value', name: 'p', fields: ['co', 'no'].map((name) => ({ name, at: name })) },
      },
    ],
    channels: ['CO', 'NO'].map((species) => {
      const id = species.toLowerCase()
      return { id, stream: 'main', field: id, species, unit: 'ppm' }
    }),
    corrections: { zero: 'last', drift: { limitPercent: 5, bases: { co: 100 } } },
  }
  writeFileSync(path, JSON.stringify(station))
  const said = vi.spyOn(process.stderr, 'write').mockReturnValue(true)
  stationFromFile(path)
  const notes = said.mock.calls.map(([text]) => String(text))
  said.mockRestore()
  expect(notes).toContainEqual(
    expect.stringMatching(/^note: .*night\.json:1:\d+: corrections\.drift\.bases: have none for no/),
  )
})
