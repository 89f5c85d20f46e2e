import { readFileSync } from 'node:fs'
import { checkScenario, type Scenario, type ScenarioInput } from '../../simulator/scenario.ts'

type Cell = ScenarioInput['instrument']['cells'][number]

/*
 * The instruments of the seeded nights: each error is drawn anew for each night from what published requirements and
 * certificates allow, evenly where they state a limit, normally where they state an uncertainty. Nothing here is read from the
 * station file or from the engine, and nothing there from here.
 *
 *  span: the cylinder. Its certificate says ±2 % (k = 2; 3 % for the gases that stick to walls), hence normal with half of that.
 *  spanDriftPerHour: span drift of at most 2 % (3 %) in 24 h (EN 15267-4, from memory); calibrated twelve hours before the night.
 *  bend: lack of fit at low levels of at most 2 % (3 %) of the value; oxygen 0.2 vol% at 4 vol% (EN 15267-3, from memory): 0.06 · 4 · (1 − 4/25) = 0.2.
 *  zero of oxygen: ±0.2 vol%. The other zeros, their drift, their irregular part and the noise: as in calm-night, twice as wide.
 *  cross: what cells' data sheets commonly allow, from memory.
 *  The cooler leaves 0.8 vol% of water in all gas, as in calm-night: 4 degC.
 */
const declared: Readonly<Record<string, Partial<Cell>>> = {
  O2: {
    span: { uniform: [0.98, 1.02] },
    zero: { uniform: [-0.2, 0.2] },
    bend: { uniform: [-0.06, 0.06] },
  },
  CO: {
    span: { normal: { mean: 1, standardDeviation: 0.01 } },
    spanDriftPerHour: { uniform: [-0.02 / 24, 0.02 / 24] },
    bend: { uniform: [-0.02, 0.02] },
    zero: { normal: { mean: 0, standardDeviation: 2 } },
    driftPerHour: { normal: { mean: 0, standardDeviation: 0.3 } },
    driftWander: 0.3,
    cross: { NO: { uniform: [-0.02, 0.02] }, NO2: { uniform: [-0.02, 0.02] }, SO2: { uniform: [-0.02, 0.02] } },
  },
  NO: {
    span: { normal: { mean: 1, standardDeviation: 0.01 } },
    spanDriftPerHour: { uniform: [-0.02 / 24, 0.02 / 24] },
    bend: { uniform: [-0.02, 0.02] },
    zero: { normal: { mean: 0, standardDeviation: 1.6 } },
    driftPerHour: { normal: { mean: 0, standardDeviation: 0.2 } },
    driftWander: 0.2,
    cross: { NO2: { uniform: [-0.05, 0.05] }, SO2: { uniform: [-0.02, 0.02] } },
  },
  NO2: {
    span: { normal: { mean: 1, standardDeviation: 0.015 } },
    spanDriftPerHour: { uniform: [-0.03 / 24, 0.03 / 24] },
    bend: { uniform: [-0.03, 0.03] },
    zero: { normal: { mean: 0, standardDeviation: 0.6 } },
    driftPerHour: { normal: { mean: 0, standardDeviation: 0.06 } },
    cross: { SO2: { uniform: [-0.02, 0.02] }, NO: { uniform: [-0.02, 0.02] } },
  },
  SO2: {
    span: { normal: { mean: 1, standardDeviation: 0.015 } },
    spanDriftPerHour: { uniform: [-0.03 / 24, 0.03 / 24] },
    bend: { uniform: [-0.03, 0.03] },
    zero: { normal: { mean: 0, standardDeviation: 1.2 } },
    driftPerHour: { normal: { mean: 0, standardDeviation: 0.16 } },
    cross: { NO2: { uniform: [-1, 0] }, NO: { uniform: [-0.03, 0.03] }, CO: { uniform: [-0.02, 0.02] } },
  },
}

const calmNight = JSON.parse(
  readFileSync(new URL('../../simulator/scenarios/calm-night.json', import.meta.url), 'utf8'),
) as ScenarioInput

/** `declared`: drawn as above. `doubled`: with errors twice as wide as declared. `as-published`: the cells of calm-night, which are better than their papers. */
export const cellsOfNights = ['declared', 'doubled', 'as-published'] as const
export type CellsOfNights = (typeof cellsOfNights)[number]

type Drawn = NonNullable<Cell['span']>
/** The same distribution about the same middle, twice as wide. */
function doubled(from: Drawn): Drawn {
  if (typeof from === 'number') return from
  if ('normal' in from)
    return { normal: { mean: from.normal.mean, standardDeviation: 2 * from.normal.standardDeviation } }
  const [low, high] = from.uniform
  return { uniform: [low - (high - low) / 2, high + (high - low) / 2] }
}
const doubledCell = (cell: Partial<Cell>): Partial<Cell> => ({
  ...cell,
  ...(cell.span === undefined ? {} : { span: doubled(cell.span) }),
  ...(cell.spanDriftPerHour === undefined ? {} : { spanDriftPerHour: doubled(cell.spanDriftPerHour) }),
  ...(cell.bend === undefined ? {} : { bend: doubled(cell.bend) }),
  ...(cell.cross === undefined
    ? {}
    : { cross: Object.fromEntries(Object.entries(cell.cross).map(([gas, from]) => [gas, doubled(from)])) }),
})

/** The calm night on gas, and every second night on light oil, which brings sulphur dioxide. A line every `stepSeconds`. */
export function nightOf(seed: number, cells: CellsOfNights = 'declared', stepSeconds = 1): Scenario {
  const { instrument, burner, station } = calmNight
  return checkScenario(
    {
      ...calmNight,
      // Nothing solves for what a cell reads of other gases: the budget has to bear it.
      station: { ...station, corrections: { zero: 'last' } },
      burner: { ...burner, fuel: seed % 2 === 0 ? 'natural-gas' : 'light-oil' },
      instrument: {
        ...instrument,
        stepSeconds,
        cells: instrument.cells.map((cell) => ({
          ...cell,
          ...(cells === 'as-published'
            ? {}
            : {
                hoursSinceCalibration: cell.species === 'O2' ? 0 : 12,
                ...(cells === 'doubled' ? doubledCell : (as: Partial<Cell>) => as)(declared[cell.species] ?? {}),
              }),
        })),
      },
    },
    'the seeded nights',
  )
}
