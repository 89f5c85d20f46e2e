import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { AmendmentDesk } from '../../../server/station/amendments/amendment-desk.ts'
import { Station } from '../../../server/station/station.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation } from '../../support/engine-night.ts'

test('an amendment that is told while the run ends is recorded in that run, not in the recording that follows', async () => {
  const clock = stationClock()
  const station = new Station({ station: aNightStation(), folder: aFolder(), clock, invented: true, log: () => {} })
  await station.start()
  const { path } = station.run.writer
  const fromMs = clock.stationMs()
  for (let number = 0; number < 20; number++) {
    const { atMs, monotonicMs } = { atMs: clock.stationMs(), monotonicMs: clock.monotonicMs() }
    const bytes = Buffer.from('MODE=S CO=40\n')
    station.take({ kind: 'line', stream: 'main', piece: 'whole', bytes, atMs, monotonicMs })
    await new Promise((resolve) => setTimeout(resolve, 2))
  }
  const ending = station.control({ do: 'end', by: 'A. Tester', note: '' })
  await Promise.resolve()
  const stretch = { fromMs: fromMs + 5, toMs: fromMs + 15, stream: null, channel: null }
  const told = await new AmendmentDesk(station).amend(path, {
    do: 'exclude',
    by: 'A. Tester',
    ...stretch,
    reason: 'hose off',
  })
  expect([await ending, told]).toEqual([
    { ok: true },
    { ok: true, answer: expect.objectContaining({ id: 'exclusion-1' }) },
  ])
  await station.stop()

  const reader = openRecording(path)
  const actions = reader.operatorChanges()
  reader.close()
  expect(actions).toMatchObject([{ action: { do: 'exclude', exclusion: stretch } }])
  expect(verifyRecording(path).ok).toBe(true)
})
