import type { SimulatedLine } from './night.ts'
import type { GasSpecies } from './plant/flue-gas.ts'
import type { Scenario } from './scenario.ts'
import type { Sent } from './sent.ts'

/** True means of one block over the lines that count and were (perhaps) sent. Units as in the header. */
export interface TruthSummary {
  readonly kind: 'summary'
  readonly start: string
  readonly end: string
  readonly cells: readonly {
    readonly species: GasSpecies
    /** Lines that count; each stands for one step. */
    readonly count: number
    /** Of these, lines of which it is not sure that they were sent. */
    readonly unsure: number
    /** At the probe; null where nothing counts. */
    readonly mean: number | null
    /** Before the cell, after leak, delay and response; null where nothing counts. */
    readonly meanAtCells: number | null
  }[]
}

interface Sum {
  count: number
  unsure: number
  probe: number
  seen: number
}

export interface Summaries {
  /** The summaries of blocks that this line ends. */
  take(line: SimulatedLine, sent: Sent): TruthSummary[]
  end(): TruthSummary[]
}

/** minutes: length of the blocks, counted from midnight UTC. Blocks without a line are left out. */
export function makeSummaries(scenario: Scenario, minutes: number): Summaries {
  const lengthMs = minutes * 60_000
  const species = scenario.instrument.cells.map((cell) => cell.species)
  let startMs = Number.NaN
  let sums: Sum[] = []
  const fresh = (): Sum[] => species.map(() => ({ count: 0, unsure: 0, probe: 0, seen: 0 }))
  const close = (): TruthSummary[] =>
    Number.isNaN(startMs)
      ? []
      : [
          {
            kind: 'summary',
            start: new Date(startMs).toISOString(),
            end: new Date(startMs + lengthMs).toISOString(),
            cells: sums.map(({ count, unsure, probe, seen }, index) => ({
              species: species[index] ?? 'O2',
              count,
              unsure,
              mean: count > 0 ? probe / count : null,
              meanAtCells: count > 0 ? seen / count : null,
            })),
          },
        ]
  return {
    take(line, sent) {
      const block = Math.floor(line.atMs / lengthMs) * lengthMs
      const ended = block === startMs ? [] : close()
      if (block !== startMs) {
        startMs = block
        sums = fresh()
      }
      if (sent === false) return ended
      for (let index = 0; index < species.length; index++) {
        const sum = sums[index]
        if (!sum || !line.truth.counts[index]) continue
        sum.count++
        if (sent === 'unknown') sum.unsure++
        sum.probe += line.truth.gas[species[index] ?? 'O2']
        sum.seen += line.truth.seen[index] ?? 0
      }
      return ended
    },
    end: close,
  }
}
