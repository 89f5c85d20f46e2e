import { expect, test } from 'vitest'
import { lineSource } from '../../../server/engine/settings/line-sources.ts'
import { openSource } from '../../../server/sources/open-source.ts'
import { TurnedClock } from '../../support/turned-clock.ts'

const made = (settings: unknown) =>
  openSource(lineSource.parse(settings), { name: 'inlet', clock: new TurnedClock(), expectEverySeconds: 1 })

test.each([
  { kind: 'serial', path: '/dev/serial/by-id/adapter' },
  { kind: 'tcp', host: '127.0.0.1', port: 4001 },
  { kind: 'file', path: '/var/log/analyser.log' },
  { kind: 'playback', path: 'night.log' },
])('a $kind source bears its stream’s name and can be closed unopened', async (settings) => {
  const source = made(settings)
  expect(source.name).toBe('inlet')
  await source.close()
})

test('a simulator is not opened here: the text says who does', () => {
  expect(() => made({ kind: 'simulator' })).toThrow(
    expect.objectContaining({ code: 'source-needs-station', message: expect.stringMatching(/started by the station/) }),
  )
})
