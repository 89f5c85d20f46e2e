import { readdirSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { stationClock } from '../../server/clock.ts'
import type { LineSource } from '../../server/engine/settings/line-sources.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { Station } from '../../server/station/station.ts'
import { aFolder } from '../support/a-recording.ts'
import { until } from '../support/built-command.ts'
import { aNightStation } from '../support/engine-night.ts'
import { SmallDisk } from '../support/small-disk.ts'

// More lines than the queue of a recording takes while the disk takes none: without a wait the rest would be lost.

const lines = 360_000
const line = (number: number): string => `MODE=S CO=${number}\n`
const text = Array.from({ length: lines }, (_, number) => line(number)).join('')

let disk: SmallDisk
beforeEach(() => {
  disk = new SmallDisk(1)
})
afterEach(() => disk.remove())

const written = (): string => {
  const path = join(aFolder(), 'flood.log')
  writeFileSync(path, text)
  return path
}
const served = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer((socket) => {
      socket.on('error', () => {}) // The station closes it.
      // The first line after a connection may be half a line.
      socket.write(`0\n${text}`)
    }).unref()
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      resolve(typeof address === 'object' && address ? address.port : 0)
    })
  })

const floods: Record<string, () => Promise<LineSource>> = {
  file: async () => ({ kind: 'file', path: written(), from: 'start', lineEnd: 'auto' }),
  playback: async () => ({ kind: 'playback', path: written(), speed: 'fastest', lineEnd: 'auto' }),
  tcp: async () => ({ kind: 'tcp', host: '127.0.0.1', port: await served(), lineEnd: 'auto' }),
}

test.each(Object.keys(floods))(
  'a flood by %s waits for a full disk; with room again each line is recorded, once',
  async (kind) => {
    const source = await (floods[kind] as () => Promise<LineSource>)()
    const station = new Station({
      station: aNightStation({ stream: { source } }),
      folder: disk.folder,
      clock: stationClock(),
      invented: true,
      log: () => {},
    })
    await station.start()
    const { writer } = station.run
    const came = (): number => station.run.lineCounts()[0]?.lines ?? 0
    await until('the queue is nearly full', () => writer.isNearlyFull)
    let before = -1
    await until('no more comes', () => {
      const isStill = came() === before
      before = came()
      return isStill
    })
    disk.grow(128)
    await until('all is recorded', () => came() >= lines && writer.storedUpTo().waiting === 0)
    await station.stop()

    const [file = ''] = readdirSync(disk.folder).filter((name) => name.endsWith('.sqlite'))
    const reader = openRecording(join(disk.folder, file))
    let recorded = ''
    for (const event of reader.inputs())
      if (event.kind === 'line' && event.piece === 'whole') recorded += Buffer.from(event.bytes)
    reader.close()
    expect(recorded.length).toBe(text.length)
    expect(recorded === text).toBe(true)
  },
)
