import { appendFileSync, readdirSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { Station } from '../../../server/station/station.ts'
import { aFolder } from '../../support/a-recording.ts'
import { until } from '../../support/built-command.ts'
import { aNightStation } from '../../support/engine-night.ts'

/** What the run's recording holds of the file, piece by piece, once it is so many lines. */
async function startedUntil(station: Station, folder: string, count: number): Promise<string[]> {
  await station.start()
  await until(`${count} lines came`, () => station.run.lineCounts()[0]?.lines === count)
  await station.stop()
  const [file = ''] = readdirSync(folder).filter((name) => name.endsWith('.sqlite'))
  const reader = openRecording(join(folder, file))
  const pieces = [...reader.inputs()].flatMap((event) =>
    event.kind === 'line' ? [`${event.piece}:${Buffer.from(event.bytes)}`] : [],
  )
  reader.close()
  return pieces
}

test('a file that is read from its start is not read again after a restart: the run goes on behind what it has', async () => {
  const folder = aFolder()
  const path = join(aFolder(), 'growing.log')
  const line = (number: number): string => `MODE=S CO=${number}\n`
  const settings = aNightStation({ stream: { source: { kind: 'file', path, from: 'start' } } })
  const aStation = (): Station =>
    new Station({ station: settings, folder, clock: stationClock(), invented: true, log: () => {} })

  writeFileSync(path, line(1) + line(2))
  expect(await startedUntil(aStation(), folder, 2)).toHaveLength(2)
  appendFileSync(path, line(3) + line(4))
  const again = await startedUntil(aStation(), folder, 4)
  expect(again).toEqual([1, 2, 3, 4].map((number) => `whole:${line(number)}`))
  // In the middle of a line.
  appendFileSync(path, `${line(5)}MODE=S C`)
  expect((await startedUntil(aStation(), folder, 5)).slice(4)).toEqual([`whole:${line(5)}`, 'unended:MODE=S C'])
  appendFileSync(path, `O=6\n${line(7)}`)
  const inside = await startedUntil(aStation(), folder, 8)
  expect(inside.slice(6)).toEqual(['first:O=6\n', `whole:${line(7)}`])
  // Another file under the name is read from its start.
  renameSync(path, `${path}.1`)
  writeFileSync(path, line(70) + line(80))
  const other = await startedUntil(aStation(), folder, 10)
  expect(other.slice(8)).toEqual([`whole:${line(70)}`, `whole:${line(80)}`])
})
