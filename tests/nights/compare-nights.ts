import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import type { EngineEvent } from '../../server/engine/events.ts'
import { stationFile } from '../../server/engine/settings/station-file.ts'
import { drive } from '../../server/station/drive-engine.ts'
import { simulateNight } from '../../simulator/night.ts'
import type { Scenario } from '../../simulator/scenario.ts'
import { stationFor } from '../../simulator/station-for.ts'

/** Lengths of the blocks that are compared, ms. */
export const comparedLengths = { PT1M: 60_000, PT30M: 1_800_000, PT1H: 3_600_000 } as const
export type ComparedAverage = keyof typeof comparedLengths

/** One valid block of one value against what was really so; all in the row's unit. */
export interface Compared {
  readonly seed: number
  readonly startMs: number
  readonly channel: string
  readonly quantity: string
  readonly mean: number
  readonly uncertainty: number
  /** Mean at the probe over the whole block, purges and settling included. */
  readonly wholeTruth: number
  /** Mean at the probe over the readings that count. */
  readonly countedTruth: number
}

/** Sums of the dry gas at the probe, over all lines of a block and over those that count for each cell. */
interface Sums {
  lines: number
  readonly all: Record<string, number>
  readonly counted: Record<string, number>
  readonly counts: Record<string, number>
}
/** For oxygen beside a gas: over the lines in which both count. */
const joint = (species: string): string => `O2 beside ${species}`

/** Runs one night through simulator and engine, and sets each valid block of each gas against the truth. */
export function compareNight(scenario: Scenario, seed: number, average: ComparedAverage = 'PT30M'): Compared[] {
  const whole = stationFile.parse(
    stationFor(scenario, { kind: 'tcp', host: '127.0.0.1', port: 4001 }, { timeFrom: 'line' }),
  )
  // Other averages and limits change nothing in those that are compared.
  const station = { ...whole, averaging: { ...whole.averaging, blocks: [average], rolling: [] }, limits: [] }
  const truths = new Map<number, Sums>()
  const rows = new Map<string, AverageRow>()
  drive(station, eventsOf(scenario, seed, truths, comparedLengths[average]), (outputs) => {
    for (const output of outputs)
      if (output.kind === 'block' && output.row.average === average) rows.set(averageKey(output.row), output.row)
  })
  return [...rows.values()].filter(({ valid }) => valid).flatMap((row) => compare(row, seed, truths.get(row.startMs)))
}

function* eventsOf(
  scenario: Scenario,
  seed: number,
  truths: Map<number, Sums>,
  lengthMs: number,
): Generator<EngineEvent> {
  const species = scenario.instrument.cells.map((cell) => cell.species)
  const jointNames = species.map(joint)
  const oxygen = species.indexOf('O2')
  let at = Date.parse(scenario.start)
  let sumsStart = Number.NaN
  let sums: Sums = { lines: 0, all: {}, counted: {}, counts: {} }
  yield { kind: 'run', change: 'start', reason: 'at-once', by: null, atMs: at, monotonicMs: 0 }
  for (const { atMs, sequence, bytes, truth } of simulateNight(scenario, seed)) {
    at = atMs
    const start = Math.floor(at / lengthMs) * lengthMs
    if (start !== sumsStart) {
      sumsStart = start
      sums = { lines: 0, all: {}, counted: {}, counts: {} }
      truths.set(start, sums)
    }
    sums.lines++
    for (const [index, name] of species.entries()) {
      add(sums.all, name, truth.gas[name])
      if (!truth.counts[index]) continue
      add(sums.counted, name, truth.gas[name])
      add(sums.counts, name, 1)
      if (!truth.counts[oxygen]) continue
      add(sums.counted, jointNames[index] as string, truth.gas.O2)
      add(sums.counts, jointNames[index] as string, 1)
    }
    yield { kind: 'line', sequence, stream: 'main', atMs, monotonicMs: 0, bytes, piece: 'whole' }
  }
  yield { kind: 'run', change: 'end', reason: 'end', by: null, atMs: at + 1000, monotonicMs: 0 }
}

const add = (to: Record<string, number>, name: string, value: number): void => {
  to[name] = (to[name] ?? 0) + value
}

/** mg/m³ per ppm at 273.15 K and 101.325 kPa: the printed two-decimal factors 1.25, 1.34, 2.05, 2.86 unrounded, M / 22.41397 L/mol. */
const massOf: Readonly<Record<string, number>> = { CO: 28.01, NO: 30.006, NO2: 46.0055, SO2: 64.064, NOx: 46.0055 }
const litresPerMole = 22.41397

function compare(row: AverageRow, seed: number, sums: Sums | undefined): Compared[] {
  if (row.mean === null || row.uncertainty === null || !sums || row.species === 'CO2' || row.species === null) return []
  const { species, quantity } = row
  if (quantity === 'as_read' && species !== 'O2') return [] // a zero that is left in is no error of the mean that is used
  const wholeTruth = truthOf(species, quantity, (name) => (sums.all[name.replace(/ beside.*/, '')] ?? 0) / sums.lines)
  const countedTruth = truthOf(species, quantity, (name) => (sums.counted[name] ?? 0) / (sums.counts[name] ?? 0))
  const { startMs, channel, mean, uncertainty } = row
  return [{ seed, startMs, channel, quantity, mean, uncertainty, wholeTruth, countedTruth }]
}

function truthOf(species: string, quantity: string, of: (name: string) => number): number {
  const members = species === 'NOx' ? ['NO', 'NO2'] : [species]
  const gas = members.reduce((sum, name) => sum + of(name), 0)
  const mass = (gas * (massOf[species] ?? Number.NaN)) / litresPerMole
  if (quantity === 'mass_concentration') return mass
  // Directive 2010/75/EU, Annex VI, Part 7, at 3 % oxygen.
  if (quantity === 'at_reference_oxygen') return (mass * (21 - 3)) / (21 - of(joint(members.at(-1) ?? '')))
  return gas
}

/** How the truth lies in ±U. */
export interface Coverage {
  readonly blocks: number
  /** Share of blocks with |mean − truth| ≤ U. */
  readonly within: number
  /** Standard error of `within`, from the spread between nights, which are independent; blocks of one night are not. */
  readonly withinError: number
  readonly median: number
}

export function coverageOf(compared: readonly Compared[], truth: 'wholeTruth' | 'countedTruth'): Coverage {
  const ratios = compared.map((one) => Math.abs(one.mean - one[truth]) / one.uncertainty)
  const nights = new Map<number, { blocks: number; within: number }>()
  for (const [place, { seed }] of compared.entries()) {
    const night = nights.get(seed) ?? { blocks: 0, within: 0 }
    night.blocks++
    if ((ratios[place] ?? Number.NaN) <= 1) night.within++
    nights.set(seed, night)
  }
  const within = ratios.filter((ratio) => ratio <= 1).length / ratios.length
  // Ratio estimator over clusters (Cochran, Sampling Techniques, 3rd ed., 6.4).
  const clusters = [...nights.values()]
  const perNight = ratios.length / clusters.length
  const squares = clusters.reduce((sum, night) => sum + (night.within - within * night.blocks) ** 2, 0)
  const withinError = Math.sqrt(squares / (clusters.length * (clusters.length - 1))) / perNight
  const sorted = ratios.toSorted((a, b) => a - b)
  return { blocks: ratios.length, within, withinError, median: sorted[Math.floor(sorted.length / 2)] ?? Number.NaN }
}
