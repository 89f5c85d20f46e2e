import type {
  CubicMetrePerHour,
  Fraction,
  KilogramPerHour,
  LbPerScfPerPpm,
  Metre,
  MgPerM3,
  Ppm,
  Quantity,
  VolumePercent,
} from '../../../protocols/words/units.ts'
import type { Conditions } from '../conversions/mass-concentration.ts'
import { validValue } from '../valid-value.ts'

type SquareMetre = Quantity<'m2'>
type FeetPerHour = Quantity<'ft3/h'>

/** Area of a circle by its diameter. */
export const circleArea = (diameter: Metre): SquareMetre =>
  validValue<SquareMetre>((Math.PI / 4) * diameter ** 2, diameter > 0)

/**
 * Dry flow at standard conditions, m3/h: 3600 (1 − B_ws) v A (T_std / T) (p / p_std).
 *
 * velocity: m/s in the stack; water: share of the wet gas; `at`: the stack's temperature and absolute pressure.
 * Source: US EPA Method 2 (40 CFR 60 App. A-1), eq. 2-8. US standard 293 K (528 degR) and 101.3 kPa (29.92 inHg), EU
 * normal 273.15 K.
 */
export const dryFlow = (
  velocity: Quantity<'m/s'>,
  area: SquareMetre,
  water: Fraction,
  at: Conditions,
  standard: Conditions,
): CubicMetrePerHour =>
  validValue<CubicMetrePerHour>(
    3600 * (1 - water) * velocity * area * (standard.kelvin / at.kelvin) * (at.kilopascal / standard.kilopascal),
    velocity >= 0,
    area > 0,
    water >= 0,
    water < 1,
    at.kelvin > 0,
    standard.kilopascal > 0,
  )

/** Dry flow referred to an oxygen content: Q (A − O) / (A − O_ref): what goes with a concentration at that oxygen. Source: mass balance. */
export const flowAtReferenceOxygen = (
  flow: CubicMetrePerHour,
  oxygen: VolumePercent,
  reference: VolumePercent,
  air: VolumePercent,
): CubicMetrePerHour =>
  validValue<CubicMetrePerHour>((flow * (air - oxygen)) / (air - reference), oxygen <= air, reference < air)

/**
 * Mass rate, kg/h: c · Q / 10⁶.
 *
 * Both on the same basis, at the same conditions and the same oxygen: a concentration at the reference oxygen with the
 * flow as measured is the classic error. Source: mass balance; common practice.
 */
export const massRate = (concentration: MgPerM3, flow: CubicMetrePerHour): KilogramPerHour =>
  validValue<KilogramPerHour>((concentration * flow) / 1e6, flow >= 0)

/** Hourly mass, lb/h, from a concentration and a flow on the same basis: K · c · Q. Source: 40 CFR 75 App. F, eq. F-1. */
export const hourlyMass = (constant: LbPerScfPerPpm, concentration: Ppm, flow: FeetPerHour): Quantity<'lb/h'> =>
  validValue<Quantity<'lb/h'>>(constant * concentration * flow, flow >= 0)

/** Hourly mass, lb/h, from a dry concentration and a wet flow: K · c · Q (1 − H2O). Source: 40 CFR 75 App. F, eq. F-2. */
export const hourlyMassOfWetFlow = (
  constant: LbPerScfPerPpm,
  dry: Ppm,
  wetFlow: FeetPerHour,
  water: Fraction,
): Quantity<'lb/h'> =>
  validValue<Quantity<'lb/h'>>(constant * dry * wetFlow * (1 - water), wetFlow >= 0, water >= 0, water < 1)
