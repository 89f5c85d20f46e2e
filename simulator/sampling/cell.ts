import { z } from 'zod'
import { distribution, draw, wander } from '../distribution.ts'
import { type Gas, type GasSpecies, gasSpecies } from '../plant/flue-gas.ts'
import { type Chance, chance } from '../random.ts'

export const cellSettings = z.strictObject({
  species: z.enum(gasSpecies),
  range: z
    .tuple([z.number(), z.number()])
    .describe('vol% for O2 and CO2, else ppm. Above it the instrument writes its over-range token.'),
  resolution: z.number().positive().describe('The last digit that the instrument shows.'),
  t90Seconds: distribution.describe('Time to 90 % of a step at the nominal flow; first order.'),
  span: distribution.default(1).describe('Reading / gas.'),
  zero: distribution.default(0).describe('Reading in clean air at the start.'),
  driftPerHour: distribution.default(0).describe('How fast the zero runs away; it levels off after a day.'),
  driftWander: distribution
    .default(0)
    .describe('Standard deviation of an irregular part of the zero that forgets itself over two hours.'),
  zeroPerKelvin: distribution.default(0).describe('Zero per kelvin of the cell above 20 degC.'),
  noise: distribution.default(0).describe('Standard deviation from line to line.'),
  cross: z.partialRecord(z.enum(gasSpecies), distribution).default({}).describe('Other gas → reading per ppm of it.'),
  spanDriftPerHour: distribution.default(0).describe('Share by which the span grows in an hour since calibration.'),
  hoursSinceCalibration: distribution.default(0).describe('How long before the start the span was set right.'),
  bend: distribution
    .default(0)
    .describe('Departure from the straight line: share of the gas at low levels, none at the end of the range.'),
  selfZeroing: z
    .boolean()
    .default(false)
    .describe('At the end of each zero phase the instrument sets the cell: oxygen to 20.95 vol%, the others to 0.'),
  statedT95Seconds: z
    .number()
    .min(0)
    .describe(
      'The response time that the instrument’s papers give, delay included; the truth counts settled readings by it.',
    ),
  statedError: z
    .strictObject({ absolute: z.number().min(0), relative: z.number().min(0) })
    .describe(
      'The papers’ error of a settled mean after its zero was subtracted: the larger of the two, `relative` as a share of the value.',
    ),
})
export type CellSettings = z.infer<typeof cellSettings>

/** What was drawn for one cell of one night. */
export interface CellCharacter {
  readonly species: GasSpecies
  readonly t90Seconds: number
  readonly span: number
  readonly zero: number
  readonly driftPerHour: number
  readonly driftWander: number
  readonly zeroPerKelvin: number
  readonly noise: number
  readonly cross: Readonly<Partial<Record<GasSpecies, number>>>
  readonly spanDriftPerHour: number
  readonly hoursSinceCalibration: number
  readonly bend: number
}

export interface Cell {
  readonly settings: CellSettings
  readonly character: CellCharacter
  /** The cell’s own gas as it lies before the cell after its response, dry, without any error of the cell. */
  gasSeen: number
  /** What the instrument would show, rounded to its resolution; may lie beyond the range. */
  reading: number
  step(gas: Gas, stepSeconds: number, responseSlowness: number, cellDegC: number, isZeroing: boolean): void
}

/** A drift that is linear at first levels off with this time constant: cells age, they do not run away for ever. Our choice. */
const LEVELS_OFF_HOURS = 24
const TO_90_PERCENT = Math.LN10

export function drawCharacter(settings: CellSettings, seed: number): CellCharacter {
  const by = chance(seed, `cell ${settings.species}`)
  return {
    species: settings.species,
    t90Seconds: Math.max(0.1, draw(settings.t90Seconds, by)),
    span: draw(settings.span, by),
    zero: draw(settings.zero, by),
    driftPerHour: draw(settings.driftPerHour, by),
    driftWander: Math.abs(draw(settings.driftWander, by)),
    zeroPerKelvin: draw(settings.zeroPerKelvin, by),
    noise: Math.abs(draw(settings.noise, by)),
    cross: Object.fromEntries(Object.entries(settings.cross).map(([species, from]) => [species, draw(from, by)])),
    spanDriftPerHour: draw(settings.spanDriftPerHour, by),
    hoursSinceCalibration: draw(settings.hoursSinceCalibration, by),
    bend: draw(settings.bend, by),
  }
}

/** One cell: first-order response, then cross-sensitivity, bend, span, zero, drift, temperature, noise, resolution. */
export function makeCell(settings: CellSettings, seed: number): Cell {
  const character = drawCharacter(settings, seed)
  const noise: Chance = chance(seed, `cell noise ${settings.species}`)
  const driftWander = wander(character.driftWander, 7200, chance(seed, `cell drift ${settings.species}`))
  const others = Object.entries(character.cross) as [GasSpecies, number][]
  const airReading = settings.species === 'O2' ? 20.95 : 0
  const bent = (gas: number): number => gas * (1 + character.bend * (1 - gas / settings.range[1]))
  let crossSeen = 0
  let hours = 0
  let isFirst = true
  let setting = settings.species === 'O2' ? 1 : 0
  let zeroSum = 0
  let zeroCount = 0

  const cell: Cell = {
    settings,
    character,
    gasSeen: airReading,
    reading: airReading,
    step(gas, stepSeconds, responseSlowness, cellDegC, isZeroing) {
      let cross = 0
      for (const [species, factor] of others) cross += factor * gas[species]
      const share = isFirst
        ? 1
        : 1 - Math.exp((-stepSeconds * TO_90_PERCENT) / (character.t90Seconds * responseSlowness))
      isFirst = false
      cell.gasSeen += (gas[settings.species] - cell.gasSeen) * share
      crossSeen += (cross - crossSeen) * share
      hours += stepSeconds / 3600
      const drift =
        character.driftPerHour * LEVELS_OFF_HOURS * (1 - Math.exp(-hours / LEVELS_OFF_HOURS)) +
        (character.driftWander > 0 ? driftWander.next(stepSeconds) : 0)
      const wet = 1 - gas.water / 100
      const raw =
        (character.span + character.spanDriftPerHour * (character.hoursSinceCalibration + hours)) *
          (bent(cell.gasSeen) + crossSeen) *
          wet +
        character.zero +
        drift +
        character.zeroPerKelvin * (cellDegC - 20) +
        character.noise * noise.normal()
      if (settings.selfZeroing) setAfterZero(raw, isZeroing)
      const shown = settings.species === 'O2' ? raw * setting : raw - setting
      cell.reading = Math.round(shown / settings.resolution) * settings.resolution
    },
  }
  return cell

  function setAfterZero(raw: number, isZeroing: boolean): void {
    if (isZeroing) {
      zeroSum += raw
      zeroCount++
    } else if (zeroCount > 0) {
      const mean = zeroSum / zeroCount
      setting = settings.species === 'O2' ? 20.95 / mean : mean
      zeroSum = 0
      zeroCount = 0
    }
  }
}
