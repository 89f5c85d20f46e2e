import { inverse, Matrix, SVD } from 'ml-matrix'

/**
 * Above this condition number (2-norm) a matrix of cells is refused: relative errors of readings may grow by as much, so that 2 % of a cell
 * would become 20 % of a gas. Our choice; matrices of cells in good order lie at 1 to 4.
 */
export const worstCondition = 10

type Rows = readonly (readonly number[])[]
const matrixOf = (rows: Rows): Matrix => new Matrix(rows.map((row) => [...row]))

/** Condition number of a square matrix, 2-norm. */
export const conditionOf = (rows: Rows): number => new SVD(matrixOf(rows)).condition

/** Rows of the inverse of a square matrix that is not singular. */
export const inverseOf = (rows: Rows): number[][] => inverse(matrixOf(rows), true).to2DArray()

/**
 * Concentrations behind readings of cells that answer to each other's gases: solves S · true = reading.
 *
 * sensitivities: a row per cell, a column per gas, own sensitivity 1; readings after zero and span, in one unit. null
 * where the shapes do not fit, a number is not finite, also of the solution, or the condition number exceeds 10.
 * Source: linear model of cross-sensitivity; common practice. The coefficients are each cell's own, never constants.
 */
export function trueConcentrations(sensitivities: Rows, readings: readonly number[]): readonly number[] | null {
  const size = readings.length
  const isSquare = size > 0 && sensitivities.length === size && sensitivities.every((row) => row.length === size)
  if (!isSquare || ![...sensitivities.flat(), ...readings].every(Number.isFinite)) return null
  if (!(conditionOf(sensitivities) <= worstCondition)) return null
  const solved = inverseOf(sensitivities).map((row) =>
    row.reduce((sum, factor, column) => sum + factor * (readings[column] as number), 0),
  )
  return solved.every(Number.isFinite) ? solved : null
}
