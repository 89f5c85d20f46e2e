import { expect, test } from 'vitest'
import { runRequest } from '../../../protocols/live/requests.ts'
import { stationClock } from '../../../server/clock.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { Station } from '../../../server/station/station.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation } from '../../support/engine-night.ts'

test('an operator is told that a note is done when the recording holds it, not before', async () => {
  const clock = stationClock()
  const station = new Station({ station: aNightStation(), folder: aFolder(), clock, invented: true, log: () => {} })
  await station.start()

  const outcome = await station.act({ do: 'note', by: 'A. Tester', text: 'probe moved', pressedMs: clock.stationMs() })
  const reader = openRecording(station.run.writer.path)
  const stored = reader.operatorChanges()
  reader.close()
  await station.stop()

  expect(outcome).toEqual({ ok: true })
  expect(stored).toMatchObject([{ by: 'A. Tester', action: { do: 'note', text: 'probe moved' } }])
})

test('an operator is told that a run has begun when the recording holds its start, not before', async () => {
  const clock = stationClock()
  const options = { station: aNightStation(), folder: aFolder(), clock, invented: true, log: () => {}, waits: true }
  const station = new Station(options)
  await station.start()

  const start = runRequest.parse({ do: 'start', by: 'A. Tester', name: 'evening' })
  const outcome = await station.control(start)
  // Asked at once: opening the recording takes long enough for the start to be stored meanwhile.
  const { sequence } = station.run.writer.storedUpTo()
  await station.stop()

  expect(outcome).toEqual({ ok: true })
  expect(sequence).toBeGreaterThanOrEqual(1)
})
