import { expect, test } from 'vitest'
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
