import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { benchStation } from './bench-station.ts'
import type { Parts } from './compiled.ts'
import { chunksOf, longLog } from './long-log.ts'

export interface HeapAt {
  readonly hours: number
  /** Bytes in use after a full collection, less those before the run began. */
  readonly bytes: number
}

/** Heap of one engine after so many hours of a line per second; outputs are let go, as a recording takes them. */
export function heapOverRun(parts: Parts, hours: readonly number[]): HeapAt[] {
  setFlagsFromString('--expose_gc')
  const collect = runInNewContext('gc') as () => void
  const station = benchStation(parts, 'kv')
  const log = longLog('kv', (hours.at(-1) ?? 0) * 3600)
  const inUse = (): number => {
    collect()
    collect()
    return process.memoryUsage().heapUsed
  }
  const found: HeapAt[] = []
  const engine = parts.createEngine(station)
  const splitter = new parts.LineSplitter('auto', { first: false })
  let lines = 0
  const before = inUse()
  parts.step(engine, { kind: 'run', change: 'start', reason: 'import', by: null, atMs: log.startMs, monotonicMs: 0 })
  for (const chunk of chunksOf(log)) {
    splitter.push(chunk, (bytes, piece) => {
      parts.step(engine, {
        kind: 'line',
        sequence: lines + 1,
        stream: 'main',
        atMs: log.startMs + lines * 1000,
        monotonicMs: 0,
        bytes,
        piece,
      })
      lines++
      if (hours.includes(lines / 3600)) found.push({ hours: lines / 3600, bytes: inUse() - before })
    })
  }
  return found
}
