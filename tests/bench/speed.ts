import type { EngineOutput } from '../../server/engine/outputs.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import type { Parts } from './compiled.ts'
import { chunksOf, type LongLog } from './long-log.ts'

/** What a pass of the engine gave. */
export interface Passed {
  readonly lines: number
  readonly refused: number
  readonly blocks: number
  readonly rolling: number
  /** Of the first half-hour block of CO as read, for comparison with others; null before there is one. */
  readonly firstCo: number | null
}

/** `known`: lines arrive one second apart, as a recording tells it. `own`: found from each line's own time, as `replay LOG` does. */
export type Arrivals = 'known' | 'own'

/** The log through a fresh engine; nothing is recorded. */
export function throughEngine(
  { createEngine, step, LineSplitter, logArrivals }: Parts,
  station: StationFile,
  log: LongLog,
  arrivals: Arrivals,
): Passed {
  const engine = createEngine(station)
  const splitter = new LineSplitter('auto', { first: false })
  const arrivalOf = logArrivals(station, undefined, engine)
  let at = log.startMs
  let lines = 0
  const seen = { refused: 0, blocks: 0, rolling: 0, firstCo: null as number | null }
  step(engine, { kind: 'run', change: 'start', reason: 'import', by: null, atMs: at, monotonicMs: 0 })
  for (const chunk of chunksOf(log)) {
    splitter.push(chunk, (bytes, piece) => {
      at = arrivals === 'known' ? log.startMs + lines * 1000 : arrivalOf(bytes, at, piece)
      lines++
      const [, outputs] = step(engine, {
        kind: 'line',
        sequence: lines,
        stream: 'main',
        atMs: at,
        monotonicMs: 0,
        bytes,
        piece,
      })
      for (let index = 0; index < outputs.length; index++) count(outputs[index] as EngineOutput, seen)
    })
  }
  step(engine, { kind: 'run', change: 'end', reason: 'end-of-log', by: null, atMs: at, monotonicMs: 0 })
  return { lines, ...seen }
}

function count(
  output: EngineOutput,
  seen: { refused: number; blocks: number; rolling: number; firstCo: number | null },
): void {
  if (output.kind === 'refused') seen.refused++
  if (output.kind === 'rolling') seen.rolling++
  if (output.kind !== 'block') return
  seen.blocks++
  if (output.row.channel === 'co' && output.row.quantity === 'as_read' && output.row.average === 'PT30M')
    seen.firstCo ??= output.row.mean
}

/** Median of the seconds that `times` runs of each work take, the works in turn, so that a slower minute of the machine hits all alike. */
export async function medians(
  works: Readonly<Record<string, () => unknown>>,
  times: number,
): Promise<ReadonlyMap<string, number>> {
  const taken = new Map(Object.keys(works).map((name) => [name, [] as number[]]))
  for (let round = 0; round < times; round++) {
    for (const [name, work] of Object.entries(works)) {
      const start = performance.now()
      await work()
      taken.get(name)?.push((performance.now() - start) / 1000)
    }
  }
  return new Map(
    [...taken].map(([name, seconds]) => [
      name,
      seconds.toSorted((a, b) => a - b)[Math.floor(seconds.length / 2)] as number,
    ]),
  )
}
