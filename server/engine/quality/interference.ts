import { Matrix, SVD, solve } from 'ml-matrix'

/** Above this condition number small errors of the readings grow a hundredfold and more. Our choice. */
const worstCondition = 100

/**
 * Concentrations behind readings of cells that answer to each other's gases: solves S · true = reading.
 *
 * sensitivities: a row per cell, a column per gas, own sensitivity 1; readings after zero and span, in one unit. null
 * where the shapes do not fit, a number is not finite, also of the solution, or the condition number exceeds 100.
 * Source: linear model of cross-sensitivity; common practice. The coefficients are each cell's own, never constants.
 */
export function trueConcentrations(
  sensitivities: readonly (readonly number[])[],
  readings: readonly number[],
): readonly number[] | null {
  const size = readings.length
  const isSquare = size > 0 && sensitivities.length === size && sensitivities.every((row) => row.length === size)
  if (!isSquare || ![...sensitivities.flat(), ...readings].every(Number.isFinite)) return null
  const matrix = new Matrix(sensitivities.map((row) => [...row]))
  if (!(new SVD(matrix).condition <= worstCondition)) return null
  const solved = solve(matrix, Matrix.columnVector([...readings])).to1DArray()
  return solved.every(Number.isFinite) ? solved : null
}
