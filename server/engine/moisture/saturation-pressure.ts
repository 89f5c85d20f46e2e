import type { Celsius, Kelvin, Kilopascal, Quantity } from '../../../protocols/words/units.ts'
import { isWithin, validValue } from '../valid-value.ts'

/** Coefficients n1 … n10 of region 4. Source: IAPWS-IF97 (2007), Table 34. */
const n = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const

/**
 * Saturation pressure of water, kPa, 273.15 to 647.096 K; NaN outside.
 * Source: IAPWS-IF97 (2007), region 4, eq. 30; check values of its Table 35.
 */
export function saturationPressure(temperature: Kelvin): Kilopascal {
  const theta = temperature + n[8] / (temperature - n[9])
  const a = theta ** 2 + n[0] * theta + n[1]
  const b = n[2] * theta ** 2 + n[3] * theta + n[4]
  const c = n[5] * theta ** 2 + n[6] * theta + n[7]
  const megapascal = ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4
  return validValue<Kilopascal>(1000 * megapascal, isWithin(temperature, 273.15, 647.096))
}

/** Temperature at which water of a pressure boils, K; 0.611213 to 22 064 kPa, NaN outside. Source: IAPWS-IF97 (2007), region 4, eq. 31; Table 36. */
export function saturationTemperature(pressure: Kilopascal): Kelvin {
  const beta = (pressure / 1000) ** 0.25
  const e = beta ** 2 + n[2] * beta + n[5]
  const f = n[0] * beta ** 2 + n[3] * beta + n[6]
  const g = n[1] * beta ** 2 + n[4] * beta + n[7]
  const d = (2 * g) / (-f - Math.sqrt(f ** 2 - 4 * e * g))
  return validValue<Kelvin>(
    (n[9] + d - Math.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2,
    isWithin(pressure, 0.611212, 22_064),
  )
}

/** Saturation pressure over liquid water, kPa, 0 to 200 degC; NaN outside. Source: ASHRAE Fundamentals 2017, chapter 1, eq. 6. */
export function saturationPressureAshrae(temperature: Kelvin): Kilopascal {
  const t = temperature
  const logarithm =
    -5800.2206 / t +
    1.3914993 -
    0.048640239 * t +
    4.1764768e-5 * t ** 2 -
    1.4452093e-8 * t ** 3 +
    6.5459673 * Math.log(t)
  return validValue<Kilopascal>(Math.exp(logarithm) / 1000, isWithin(t, 273.15, 473.15))
}

/** Saturation pressure over liquid water, kPa, 273.16 to 373.16 K (0 to 100 degC); NaN outside. Source: 40 CFR 1065.645(a)(1). */
export function saturationPressureEngineTest(temperature: Kelvin): Kilopascal {
  const t = temperature / 273.16
  const logarithm =
    10.79574 * (1 - 1 / t) -
    5.028 * Math.log10(t) +
    1.50475e-4 * (1 - 10 ** (-8.2969 * (t - 1))) +
    0.42873e-3 * (10 ** (4.76955 * (1 - 1 / t)) - 1) -
    0.2138602
  return validValue<Kilopascal>(10 ** logarithm, isWithin(temperature, 273.15, 373.16))
}

/** Saturation pressure, kPa, −45 to 60 degC; NaN outside, as hot gas reads up to 2.4 % high. Source: Magnus form with the coefficients attributed to WMO, 6.112 hPa, 17.62, 243.12 degC. */
export const saturationPressureMagnus = (temperature: Celsius): Kilopascal =>
  validValue<Kilopascal>(
    0.6112 * Math.exp((17.62 * temperature) / (243.12 + temperature)),
    isWithin(temperature, -45, 60),
  )

/** Saturation pressure, mmHg, 1 to 100 degC; NaN outside. Source: Antoine set 8.07131, 1730.63, 233.426 for water (from memory). */
export const saturationPressureAntoine = (temperature: Celsius): Quantity<'mmHg'> =>
  validValue<Quantity<'mmHg'>>(10 ** (8.07131 - 1730.63 / (233.426 + temperature)), isWithin(temperature, 1, 100))
