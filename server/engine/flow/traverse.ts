import type { Metre, Percent, Quantity } from '../../../protocols/words/units.ts'
import { isWithin, quantities, validValue } from '../valid-value.ts'

type Count = Quantity<'1'>

/**
 * Points along a diameter, % of it from the near wall, by the rule of equal areas: 50 (1 − √(1 − (2i − 1) / N)), mirrored.
 *
 * perDiameter: even, 2 to 24; else none. Source: US EPA Method 1 (40 CFR 60 App. A-1), Table 1-2 (its digits from memory,
 * reproduced by the rule); the rule is also printed in an air district's procedure ST-18.
 */
export function pointsOfDiameter(perDiameter: Count): readonly Percent[] {
  if (!isWithin(perDiameter, 2, 24) || perDiameter % 2 !== 0) return []
  const half = Array.from(
    { length: perDiameter / 2 },
    (_, place) => 50 * (1 - Math.sqrt(1 - (2 * place + 1) / perDiameter)),
  )
  return quantities<Percent>([...half, ...half.toReversed().map((share) => 100 - share)])
}

/** The same points as distances from the outer face of the port, m: share · diameter + nipple. Source: as `pointsOfDiameter`. */
export const distancesFromPort = (perDiameter: Count, diameter: Metre, nipple: Metre): readonly Metre[] =>
  diameter > 0 && nipple >= 0
    ? quantities<Metre>(pointsOfDiameter(perDiameter).map((share) => (share / 100) * diameter + nipple))
    : []

/** Centres of equal cells along one side of a rectangular duct, m from the wall: (i − 0.5) L / n. Source: US EPA Method 1, sec. 11.3.2. */
export const centresOfCells = (side: Metre, cells: Count): readonly Metre[] =>
  side > 0 && Number.isInteger(cells) && isWithin(cells, 1, 24)
    ? quantities<Metre>(Array.from({ length: cells }, (_, place) => ((place + 0.5) * side) / cells))
    : []

/** Three points on a measurement line, m from the wall: 16.7, 50.0 and 83.3 %. Source: 40 CFR 60 subpart JJJJ, Table 2. */
export const threePoints = (line: Metre): readonly Metre[] =>
  line > 0 ? quantities<Metre>([0.167 * line, 0.5 * line, 0.833 * line]) : []

/** Equivalent diameter of a rectangular duct: 2 L W / (L + W). Source: US EPA Method 1, eq. 1-1. */
export const equivalentDiameter = (length: Metre, width: Metre): Metre =>
  validValue<Metre>((2 * length * width) / (length + width), length > 0, width > 0)

export const ductShapes = ['circular', 'rectangular'] as const
export type DuctShape = (typeof ductShapes)[number]

/**
 * Fewest points of a velocity or gas traverse.
 *
 * diameter: equivalent, at least 0.30 m; downstream and upstream: distances to the nearest disturbance in diameters, at
 * least 2 and 0.5. NaN below these, where the method does not apply.
 * Source: US EPA Method 1, sec. 11.2: 12 at 8 and 2 diameters, 8 or 9 in ducts up to 0.61 m (the circular numbers
 * read); 16 nearer to a disturbance and the 9 from memory.
 */
export function fewestPoints(shape: DuctShape, diameter: Metre, downstream: Count, upstream: Count): Count {
  const isFar = downstream >= 8 && upstream >= 2
  const points = !isFar ? 16 : diameter > 0.61 ? 12 : shape === 'circular' ? 8 : 9
  return validValue<Count>(points, diameter >= 0.3, downstream >= 2, upstream >= 0.5)
}

/** Fewest sampling points in a circular duct by its diameter. Source: EN 15259 (from memory). */
export const fewestPointsEuropeanCircular = (diameter: Metre): Count =>
  validValue<Count>(
    diameter < 0.35 ? 1 : diameter <= 1.1 ? 5 : diameter <= 1.6 ? 9 : fourPerSquareMetre((Math.PI / 4) * diameter ** 2),
    diameter > 0,
  )

/** Fewest sampling points in a rectangular duct by its area. Source: EN 15259 (from memory). */
export const fewestPointsEuropeanRectangular = (area: Quantity<'m2'>): Count =>
  validValue<Count>(area < 0.1 ? 1 : area <= 1 ? 4 : area <= 2 ? 9 : fourPerSquareMetre(area), area > 0)

const fourPerSquareMetre = (area: number): number => Math.min(20, Math.max(12, Math.ceil(4 * area)))
