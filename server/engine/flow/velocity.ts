import type { GramPerMol, Kelvin, Quantity } from '../../../protocols/words/units.ts'
import { meanOf, validValue } from '../valid-value.ts'

/**
 * Metric constant of Method 2, m/s · √((g/mol) mmHg / (K mmH2O)). Source: US EPA Method 2 (40 CFR 60 App. A-1), sec. 12.
 * The English one, 85.49, is rounded by itself: turned into metric units it would be 34.96. Never mix the two.
 */
const metricConstant = 34.97
/** English constant of Method 2, ft/s · √((lb/lb-mol) inHg / (degR inH2O)). Source: as above. */
const englishConstant = 85.49

/** The metric constant from first principles: √(2 g R / p) with g = 9.80665 m/s², mmHg and mmH2O as pressures. 34.9736. */
export const pitotConstant = (gasConstant: Quantity<'J/(mol K)'>): Quantity<'1'> =>
  validValue<Quantity<'1'>>(Math.sqrt((2 * 9.80665 * gasConstant * 1000) / 133.322), gasConstant > 0)

/** Mean of the square roots of velocity pressures, in the root of their unit; never the root of their mean. Source: US EPA Method 2, sec. 12. */
export const meanRootPressure = (pressures: readonly Quantity<'mmH2O'>[]): Quantity<'mmH2O^0.5'> =>
  validValue<Quantity<'mmH2O^0.5'>>(meanOf(pressures.map((pressure) => Math.sqrt(pressure))), pressures.length > 0)

/** Absolute stack pressure, inHg: barometric + static / 13.6, the static pressure in inH2O. Source: US EPA Method 2, sec. 12. */
export const stackPressure = (barometric: Quantity<'inHg'>, gauge: Quantity<'inH2O'>): Quantity<'inHg'> =>
  validValue<Quantity<'inHg'>>(barometric + gauge / 13.6, barometric + gauge / 13.6 > 0)

/**
 * Gas velocity, m/s: 34.97 · C_p · mean √Δp · √(T / (p M)).
 *
 * Mean root in √mmH2O, K, mmHg absolute, wet molar mass in g/mol. NaN below zero pressure or temperature.
 * Source: US EPA Method 2 (40 CFR 60 App. A-1), eq. 2-7. Below about 3 m/s a pitot tube reads poorly.
 */
export const gasVelocity = (
  pitot: Quantity<'1'>,
  meanRoot: Quantity<'mmH2O^0.5'>,
  temperature: Kelvin,
  pressure: Quantity<'mmHg'>,
  molarMass: GramPerMol,
): Quantity<'m/s'> =>
  validValue<Quantity<'m/s'>>(
    metricConstant * pitot * meanRoot * Math.sqrt(temperature / (pressure * molarMass)),
    temperature > 0,
    pressure > 0,
    molarMass > 0,
  )

/** The same in English units, ft/s: 85.49 · C_p · mean √Δp · √(T / (p M)); √inH2O, degR, inHg absolute. Source: as `gasVelocity`. */
export const gasVelocityEnglish = (
  pitot: Quantity<'1'>,
  meanRoot: Quantity<'inH2O^0.5'>,
  temperature: Quantity<'degR'>,
  pressure: Quantity<'inHg'>,
  molarMass: GramPerMol,
): Quantity<'ft/s'> =>
  validValue<Quantity<'ft/s'>>(
    englishConstant * pitot * meanRoot * Math.sqrt(temperature / (pressure * molarMass)),
    temperature > 0,
    pressure > 0,
    molarMass > 0,
  )
