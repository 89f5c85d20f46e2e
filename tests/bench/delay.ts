import { mkdtempSync, rmSync } from 'node:fs'
import { type AddressInfo, createServer, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { WebSocket } from 'ws'
import { benchStation } from './bench-station.ts'
import type { Parts } from './compiled.ts'

export interface Delays {
  readonly lines: number
  readonly p50Ms: number
  readonly p99Ms: number
  readonly mostMs: number
}

const everyMs = 100

/**
 * A running station with its recording on disk, an instrument on TCP, and one viewer, all in this process: from before a line
 * is written to the instrument's socket until the viewer has read it. That holds two passages through the system's loopback more
 * than what is asked, so it is an upper bound.
 */
export async function delays(parts: Parts, lines: number): Promise<Delays> {
  const { Station, stationFace, startHttp, stationClock } = parts
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-bench-'))
  const instrument = createServer()
  await new Promise<void>((resolve) => instrument.listen(0, '127.0.0.1', resolve))
  const joined = new Promise<Socket>((resolve) => instrument.once('connection', resolve))
  const settings = benchStation(
    parts,
    'kv',
    { kind: 'tcp', host: '127.0.0.1', port: (instrument.address() as AddressInfo).port },
    'arrival',
  )
  const station = new Station({
    station: settings,
    folder,
    clock: stationClock(),
    invented: true,
    log: () => {},
  })
  await station.start()
  const http = await startHttp({
    face: stationFace(station),
    port: 0,
    webFolder: folder,
    version: 'bench',
    log: () => {},
  })
  const line = await joined
  line.setNoDelay(true)
  // What comes first after joining may be half a line and takes no part.
  line.write('\n')
  const viewer = new WebSocket(`ws://127.0.0.1:${http.address.port}/api/live`)
  const taken: number[] = []
  await new Promise<void>((resolve) => {
    let sentMs = 0
    let number = 0
    const send = () => {
      number++
      sentMs = performance.now()
      // Carbon monoxide tells which line came: 1 ppm, 2 ppm …
      line.write(
        `${new Date().toISOString().slice(0, 19)} MODE=GAS O2=5.1000 CO2=8.9000 CO=${number}.00 FLOW=0.02700\n`,
      )
    }
    viewer.on('message', (data) => {
      const cameMs = performance.now()
      const message = JSON.parse(String(data)) as {
        type: string
        reading?: { values: Record<string, { asRead: number | null }> }
      }
      if (message.type === 'snapshot') return send()
      if (message.type !== 'reading' || message.reading?.values.co?.asRead !== number) return
      taken.push(cameMs - sentMs)
      if (taken.length === lines) return resolve()
      setTimeout(send, everyMs)
    })
  })
  viewer.terminate()
  await http.close()
  await station.stop()
  line.destroy()
  instrument.close()
  rmSync(folder, { recursive: true, force: true })
  const sorted = taken.toSorted((a, b) => a - b)
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number
  return { lines, p50Ms: at(0.5), p99Ms: at(0.99), mostMs: at(1) }
}
