import type { Celsius, Fraction, Kelvin, Kilopascal, Quantity } from '../../../protocols/words/units.ts'
import { isWithin, validValue } from '../valid-value.ts'
import { saturationPressure, saturationPressureAshrae, saturationTemperature } from './saturation-pressure.ts'

const kelvin = (temperature: Celsius): Kelvin => (temperature + 273.15) as Kelvin

/** Water vapour's share of saturated gas: p_sat(T) / p. NaN where the gas would be above boiling. Source: US EPA Method 4, sec. 12.1.7; p_sat of IAPWS-IF97. */
export const saturatedShare = (temperature: Celsius, pressure: Kilopascal): Fraction => {
  const share = saturationPressure(kelvin(temperature)) / pressure
  return validValue<Fraction>(share, pressure > 0, share <= 1)
}

/** Dew point of water, degC: the temperature whose saturation pressure is the vapour's own. share: of the wet gas. Source: IAPWS-IF97, eq. 31. */
export const waterDewPoint = (share: Fraction, pressure: Kilopascal): Celsius =>
  validValue<Celsius>(saturationTemperature((share * pressure) as Kilopascal) - 273.15, share > 0, share <= 1)

/** Dew point of humid air, degC; humidity 0…1 relative to liquid water. Source: definition; p_sat of IAPWS-IF97. */
export const dewPointOfAir = (temperature: Celsius, humidity: Fraction): Celsius =>
  validValue<Celsius>(
    saturationTemperature((humidity * saturationPressure(kelvin(temperature))) as Kilopascal) - 273.15,
    humidity > 0,
    humidity <= 1,
  )

/** Dew point by the rational fit of 40 CFR 1065.645(d), K; vapour pressure in Pa, 611 to 101 325. Source: named; coefficients of Hardy 1998 on ITS-90. */
export const dewPointEngineTest = (pressure: Quantity<'Pa'>): Kelvin => {
  const l = Math.log(pressure)
  const above = 207.98233 - 20.156028 * l + 0.46778925 * l ** 2 - 9.2288067e-6 * l ** 3
  const below = 1 - 0.13319669 * l + 5.6577518e-3 * l ** 2 - 7.5172865e-5 * l ** 3
  return validValue<Kelvin>(above / below, isWithin(pressure, 611, 101_325))
}

/** Water vapour's share of humid air, mol/mol: RH · p_sat / p. Source: 40 CFR 1065.645(c). */
export const waterOfAir = (humidity: Fraction, saturation: Kilopascal, pressure: Kilopascal): Quantity<'mol/mol'> => {
  const share = (humidity * saturation) / pressure
  return validValue<Quantity<'mol/mol'>>(share, isWithin(humidity, 0, 1), pressure > 0, share < 1)
}

/**
 * Dew point of sulphuric acid, K: 1000 / T = 2.276 − 0.0294 ln p_W − 0.0858 ln p_S + 0.0062 ln p_W ln p_S, mmHg.
 *
 * Water and SO3 as partial pressures; how much of the SO2 becomes SO3 (1 to 5 %) is an assumption of the reader.
 * Source: Verhoff and Banchero 1974; a set of other coefficients for atm or Pa circulates: do not mix.
 */
export const acidDewPoint = (water: Quantity<'mmHg'>, trioxide: Quantity<'mmHg'>): Kelvin => {
  const [w, s] = [Math.log(water), Math.log(trioxide)]
  const kelvinOf = 1000 / (2.276 - 0.0294 * w - 0.0858 * s + 0.0062 * w * s)
  return validValue<Kelvin>(kelvinOf, water > 0, trioxide > 0, isWithin(kelvinOf, 273.15, 600))
}

/** Humidity ratio, kg of water per kg of dry air: 0.621945 p_w / (p − p_w). Source: ASHRAE Fundamentals 2017, chapter 1. */
const humidityRatio = (vapour: number, pressure: number): number => (0.621945 * vapour) / (pressure - vapour)

/** How often an interval of 200 K is halved: 2⁻⁴⁰ of it is far below a millionth of a kelvin. */
const halvings = 40

/**
 * Thermodynamic wet-bulb temperature of humid air, degC, above 0; found by halving.
 *
 * temperature: 0 to 200 degC; humidity: 0…1; pressure: kPa. NaN where the wet bulb would freeze.
 * Source: ASHRAE Fundamentals 2017, chapter 1, eq. 33 with its equation for liquid water.
 */
export function wetBulb(temperature: Celsius, humidity: Fraction, pressure: Kilopascal): Celsius {
  const ratio = humidityRatio(humidity * saturationPressureAshrae(kelvin(temperature)), pressure)
  const ratioAt = (wet: number): number => {
    const saturated = humidityRatio(saturationPressureAshrae(kelvin(wet as Celsius)), pressure)
    // Above boiling nothing more can be taken up: too warm a guess.
    if (!(saturated >= 0)) return Number.POSITIVE_INFINITY
    return ((2501 - 2.326 * wet) * saturated - 1.006 * (temperature - wet)) / (2501 + 1.86 * temperature - 4.186 * wet)
  }
  let [low, high] = [0, temperature as number]
  const isFound = isWithin(humidity, 0, 1) && ratio >= 0 && ratioAt(0) <= ratio && temperature >= 0
  for (let turn = 0; turn < halvings; turn++) {
    const middle = (low + high) / 2
    if (ratioAt(middle) < ratio) low = middle
    else high = middle
  }
  return validValue<Celsius>((low + high) / 2, isFound)
}

/**
 * Water vapour's share of stack gas by wet and dry bulb: e / p, e = e_s(t_w) − 3.67e-4 p (t − t_w) (1 + (t_w − 32) / 1571),
 * temperatures in degF.
 *
 * Acid gases raise the wet bulb. NaN where it comes out negative, and with a wet bulb above the dry one.
 * Source: US stack practice (from memory); e_s of IAPWS-IF97.
 */
export function moistureByWetBulb(dry: Quantity<'degF'>, wet: Quantity<'degF'>, pressure: Kilopascal): Fraction {
  const saturated = saturationPressure((((wet + 459.67) * 5) / 9) as Kelvin)
  const share = saturated / pressure - 3.67e-4 * (dry - wet) * (1 + (wet - 32) / 1571)
  return validValue<Fraction>(share, wet <= dry, isWithin(share, 0, 1))
}
