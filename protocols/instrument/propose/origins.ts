import type { Origin } from '../../words/quantities.ts'
import type { Species } from '../../words/species.ts'
import type { Unit } from '../../words/units.ts'

/** A named column with its numbers, NaN where a line has none. */
export interface NumberColumn {
  readonly species: Species | null
  readonly unit: Unit | null
  readonly values: Float64Array
  /** Its own name says that it is worked out. */
  readonly isComputed: boolean
}
export interface OriginGuess {
  readonly origin: Origin
  readonly confidence: number
  readonly reason: string
}

const fewest = 5
/** Figures in lines are rounded; a sum of two may be off by so many of the last digit. */
const roundings = 2.1

/** The size of the last decimal that the values use, 1 … 0.0000001. */
function lastDigit(values: readonly number[]): number {
  for (const size of [1, 0.1, 0.01, 0.001, 1e-4, 1e-5, 1e-6])
    if (values.every((value) => Math.abs(value / size - Math.round(value / size)) < 1e-4)) return size
  return 1e-7
}

/** Rows in which all columns have a number. */
function joint(...columns: readonly Float64Array[]): number[][] {
  const [first] = columns
  const rows: number[][] = []
  for (let row = 0; row < (first?.length ?? 0); row++) {
    const values = columns.map((column) => column[row] as number)
    if (!values.some(Number.isNaN)) rows.push(values)
  }
  return rows
}

/** NOx = NO + NO2 to the last digit, in all but one row of twenty, and not in zeros alone. */
function isSum(sum: Float64Array, one: Float64Array, other: Float64Array): boolean {
  const rows = joint(sum, one, other)
  if (rows.length < fewest || new Set(rows.map(([value]) => value)).size < 3) return false
  const least = roundings * Math.max(...[0, 1, 2].map((place) => lastDigit(rows.map((row) => row[place] as number))))
  const off = rows.filter(([total, a, b]) => Math.abs((total as number) - (a as number) - (b as number)) > least)
  return off.length * 20 <= rows.length
}

/** From the least to the most. */
function extent(values: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY
  let most = Number.NEGATIVE_INFINITY
  for (const value of values) {
    least = Math.min(least, value)
    most = Math.max(most, value)
  }
  return most - least
}

/** Whether CO2 lies on one straight line over O2, as a value that is worked out does; a measured one scatters. */
function isLine(y: Float64Array, x: Float64Array): boolean {
  const rows = joint(x, y)
  if (rows.length < fewest || new Set(rows.map(([value]) => value)).size < fewest) return false
  const mean = (place: 0 | 1) => rows.reduce((sum, row) => sum + (row[place] as number), 0) / rows.length
  const [mx, my] = [mean(0), mean(1)]
  let sxx = 0
  let sxy = 0
  for (const [a, b] of rows) {
    sxx += ((a as number) - mx) ** 2
    sxy += ((a as number) - mx) * ((b as number) - my)
  }
  const slope = sxx > 0 ? sxy / sxx : 0
  if (slope > -0.2 || slope < -1.2) return false
  const least =
    roundings * Math.max(lastDigit(rows.map((row) => row[0] as number)), lastDigit(rows.map((row) => row[1] as number)))
  const ys = rows.map((row) => row[1] as number)
  // Over a short stretch anything is a straight line.
  if (least * 20 > extent(ys)) return false
  const off = rows.filter(([a, b]) => Math.abs((b as number) - my - slope * ((a as number) - mx)) > least)
  return off.length * 20 <= rows.length
}

const measured: OriginGuess = { origin: 'measured', confidence: 0.8, reason: '' }

/** Whether a column is measured or worked out by the instrument from others: by its numbers where they tell, else by what stands beside it. */
export function guessOrigin(column: NumberColumn, all: readonly NumberColumn[]): OriginGuess {
  const { species, unit, values } = column
  if (column.isComputed) return { origin: 'computed', confidence: 0.9, reason: 'its name says that it is worked out' }
  if (species === null) return measured
  const beside = (other: Species) => all.find((each) => each !== column && each.species === other && !each.isComputed)
  const isMass = unit !== null && /g\/m3$/.test(unit)
  if (isMass && all.some((each) => each.species === species && each.unit === 'ppm'))
    return { origin: 'computed', confidence: 0.8, reason: 'the same gas stands in ppm beside it' }
  const no = beside('NO')
  const no2 = beside('NO2')
  if (species === 'NOx' && no && no2 && isSum(values, no.values, no2.values))
    return { origin: 'computed', confidence: 0.95, reason: 'it is the sum of NO and NO₂ in these lines' }
  if (species === 'NOx' && no)
    return { origin: 'computed', confidence: 0.6, reason: 'NO stands beside it; no numbers prove it' }
  const o2 = beside('O2')
  if (species === 'CO2' && o2) {
    if (isLine(values, o2.values))
      return { origin: 'computed', confidence: 0.9, reason: 'it follows O₂ on a straight line in these lines' }
    return {
      origin: 'measured',
      confidence: 0.7,
      reason: 'it scatters against O₂ in these lines, or there are too few of them to tell',
    }
  }
  return measured
}
