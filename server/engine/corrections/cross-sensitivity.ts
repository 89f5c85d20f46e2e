import { countFlag } from '../../../protocols/words/count-flags.ts'
import { ppmPerUnit } from '../../../protocols/words/units.ts'
import { conditionOf, inverseOf } from '../quality/interference.ts'
import type { StationFile } from '../settings/station-shape.ts'

/** Smaller elements of the inverse are left out: they are rounding. */
const least = 1e-12

/** How the cells of one stream answer to each other's gases: a row per cell, a column per gas, own sensitivity 1. */
export interface CrossMatrix {
  /** Channels by the station's index, in the order of rows and columns. */
  readonly channels: readonly number[]
  readonly matrix: readonly (readonly number[])[]
  readonly condition: number
}

/** The matrix of a stream's channels as the station file tells it; null where no cell of it answers to another gas. */
export function crossMatrix(station: StationFile, stream: string): CrossMatrix | null {
  const { crossSensitivity } = station.corrections
  const indexOf = (id: string): number => station.channels.findIndex((channel) => channel.id === id)
  const isHere = (id: string): boolean => station.channels[indexOf(id)]?.stream === stream
  const cells = Object.keys(crossSensitivity).filter(isHere)
  const named = new Set([...cells, ...cells.flatMap((id) => Object.keys(crossSensitivity[id]?.by ?? {}))])
  const ids = station.channels.map(({ id }) => id).filter((id) => named.has(id))
  if (cells.length === 0) return null
  const matrix = ids.map((cell) => ids.map((gas) => (cell === gas ? 1 : (crossSensitivity[cell]?.by[gas] ?? 0))))
  return { channels: ids.map(indexOf), matrix, condition: conditionOf(matrix) }
}

/** A channel that a value is made of, and its factor. */
export interface Part {
  readonly channel: number
  readonly factor: number
}

interface CellRow {
  readonly channel: number
  readonly parts: readonly Part[]
}
interface SumRow {
  readonly channel: number
  readonly members: readonly Part[]
}

/**
 * Takes out of each cell's reading what the other gases added to it: solves S · true = reading by the inverse, computed once and
 * kept as sparse rows. For readings after zero, span and dilution.
 * Source: linear model of cross-sensitivity; common practice. The coefficients are each cell's own, never constants.
 */
export class CrossSensitivity {
  private readonly rows: readonly CellRow[]
  private readonly sums: readonly SumRow[]
  private readonly solved: Float64Array

  constructor(station: StationFile, { channels, matrix }: CrossMatrix) {
    const solution = inverseOf(matrix)
    this.rows = channels.map((channel, row) => ({
      channel,
      parts: channels.flatMap((part, column) => {
        const factor = solution[row]?.[column] ?? 0
        return Math.abs(factor) > least ? [{ channel: part, factor }] : []
      }),
    }))
    this.solved = new Float64Array(this.rows.length)
    this.sums = sumsOf(station).filter(({ members }) => members.some((member) => channels.includes(member.channel)))
  }

  /** What the true value of a channel is made of; null where it is in no row. */
  partsOf(channel: number): readonly Part[] | null {
    return this.rows.find((row) => row.channel === channel)?.parts ?? null
  }

  /** `values`: corrected readings by the station's channel index, changed in place; sums are formed anew. */
  apply(values: Float64Array): void {
    const { rows, solved, sums } = this
    for (let row = 0; row < rows.length; row++) solved[row] = total((rows[row] as CellRow).parts, values)
    for (let row = 0; row < rows.length; row++) values[(rows[row] as CellRow).channel] = solved[row] as number
    for (const { channel, members } of sums) values[channel] = total(members, values)
  }

  /** A channel that needs another's reading counts only together with it. `flags`: by the station's channel index, changed in place. */
  invalidate(flags: Uint8Array): void {
    for (const { channel, parts } of this.rows) invalidateOne(channel, parts, flags)
    for (const { channel, members } of this.sums) invalidateOne(channel, members, flags)
  }
}

function invalidateOne(channel: number, parts: readonly Part[], flags: Uint8Array): void {
  if (flags[channel] !== countFlag.counts) return
  for (let next = 0; next < parts.length; next++)
    if (flags[(parts[next] as Part).channel] !== countFlag.counts) {
      flags[channel] = countFlag.interferentInvalid
      return
    }
}

function total(parts: readonly Part[], values: Float64Array): number {
  let sum = 0
  for (let next = 0; next < parts.length; next++) {
    const { channel, factor } = parts[next] as Part
    sum += factor * (values[channel] as number)
  }
  return sum
}

/** The sums of the station, with the factor that turns each member into the sum's unit. */
export const sumsOf = (station: StationFile): SumRow[] =>
  station.channels.flatMap((sum, channel) =>
    sum.sumOf
      ? [
          {
            channel,
            members: sum.sumOf.map((id) => {
              const member = station.channels.findIndex((other) => other.id === id)
              return {
                channel: member,
                factor: (ppmPerUnit[station.channels[member]?.unit ?? 'ppm'] ?? 1) / (ppmPerUnit[sum.unit] ?? 1),
              }
            }),
          },
        ]
      : [],
  )

/** The solvers of a station's streams, by stream. */
export const crossSensitivities = (station: StationFile): ReadonlyMap<string, CrossSensitivity> =>
  new Map(
    station.streams.flatMap(({ id }) => {
      const matrix = crossMatrix(station, id)
      return matrix ? [[id, new CrossSensitivity(station, matrix)] as const] : []
    }),
  )
