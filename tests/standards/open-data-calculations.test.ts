import { describe, expect, test } from 'vitest'
import {
  type CubicMetrePerHour,
  type Fraction,
  type GramPerMol,
  type Kelvin,
  type Kilopascal,
  type Ppm,
  type Quantity,
  quantity,
  type ScfPerMMBtu,
  type VolumePercent,
} from '../../protocols/words/units.ts'
import { emissionRate6, poundsPerScf } from '../../server/engine/combustion/emission-rate.ts'
import { type Conditions, gasConstant, massConcentration } from '../../server/engine/conversions/mass-concentration.ts'
import { gasVelocityEnglish, meanRootPressure } from '../../server/engine/flow/velocity.ts'
import { dryFlow, massRate } from '../../server/engine/flow/volume-flow.ts'
import { openRows } from '../support/open-data.ts'

// Published totals and rates of measurements by others against the formulas of the tool. Facts and sources of each set stand
// in the README beside its files.

const at = (kelvin: number, kilopascal: number): Conditions => ({
  kelvin: quantity<Kelvin>(kelvin),
  kilopascal: quantity<Kilopascal>(kilopascal),
})
const normal = at(273.15, 101.325)
const gram = (value: number) => quantity<GramPerMol>(value)
const isNumber = (cell: string | undefined): boolean => cell !== undefined && cell !== ''

describe('combustion tests at one row a second whose total masses were published (NIST, bench burns)', () => {
  const columns = { co: ['CO (Vol fr)', 28.01, 'x_co_0'], co2: ['CO2 (Vol fr)', 44.01, 'x_co2_0'] } as const
  const molarMassOfAir = 28.97
  /** Normal m3/h of the diluted gas that has this mass flow, taken as air as the publication does. */
  const flow = (kilogramPerSecond: number) =>
    quantity<CubicMetrePerHour>(
      ((kilogramPerSecond * 3600) / molarMassOfAir) * ((gasConstant * normal.kelvin) / normal.kilopascal),
    )
  const burns = openRows('nist-bench-burns/tests.csv')
  // The publication says nothing of a gas that hardly came: the README counts 50 tests with more than 0.3 g CO and 1 g CO2.
  test.each([
    ['co', 0.3, 0.0003],
    ['co2', 1, 0.0005],
  ] as const)('%s: concentration less its zero, times the flow, summed up', (gas, fromGram, mostOff) => {
    const [column, molarMass, zero] = columns[gas]
    const off: number[] = []
    for (const burn of burns) {
      const published = Number(burn[`y_${gas}`]) * Number(burn.sample_mass_g)
      if (!(published > fromGram)) continue
      let sum = 0
      for (const row of openRows(`nist-bench-burns/tests/${burn.test}.csv`)) {
        if (!isNumber(row[column]) || !isNumber(row['MFR (kg/s)'])) continue
        const above = quantity<Ppm>((Number(row[column]) - Number(burn[zero])) * 1e6)
        const kilogramPerHour = massRate(
          massConcentration(above, gram(molarMass), normal),
          flow(Number(row['MFR (kg/s)'])),
        )
        sum += (kilogramPerHour * 1000) / 3600
      }
      off.push(Math.abs(sum / published - 1))
    }
    expect(off.length).toBe(50)
    expect(Math.max(...off)).toBeLessThan(mostOff)
  })
})

test('carbon dioxide per heat input of a gas-fired unit is what the carbon F factor of natural gas gives (EPA hourly reports)', () => {
  // 40 CFR 75 App. G, eq. G-4: 1040 scf CO2/MMBtu of natural gas. Pure CO2 has a million ppm and 100 vol% of it.
  const pure = { ppm: quantity<Ppm>(1e6), constant: poundsPerScf(gram(44.01)) }
  const shortTonsPerMMBtu = emissionRate6(pure, quantity<ScfPerMMBtu>(1040), quantity<VolumePercent>(100)) / 2000
  const running = openRows('epa-hourly-units/gas_peaker_unit_b.csv').filter(
    ({ heat_input_mmbtu }) => Number(heat_input_mmbtu) > 0,
  )
  const near = running.filter(
    (row) => Math.abs(Number(row.co2_mass_tons) / Number(row.heat_input_mmbtu) / shortTonsPerMMBtu - 1) < 0.005,
  )
  expect([running.length, near.length]).toEqual([73, 72])
})

describe('a traverse of thirty points of a large duct (fan field test)', () => {
  const pressures = openRows('duct-pitot-traverse/traverse.csv').map(({ dp_in_h2o }) => Number(dp_in_h2o))
  const kelvin = 323.7056
  const pascal = 85_467.8
  const densityKgPerM3 = 0.874935
  /** What gas of this density weighs per mole at that temperature and pressure: the traverse states no composition. */
  const molarMass = gram((densityKgPerM3 * gasConstant * kelvin) / (pascal / 1000))
  const meanRoot = meanRootPressure(pressures.map((value) => quantity<Quantity<'mmH2O'>>(value)))
  const velocityFeet = gasVelocityEnglish(
    quantity<Quantity<'1'>>(Math.sqrt(0.762)),
    quantity<Quantity<'inH2O^0.5'>>(meanRoot),
    quantity<Quantity<'degR'>>(kelvin * 1.8),
    quantity<Quantity<'inHg'>>(pascal / 3386.389),
    molarMass,
  )

  test('the mean of the square roots, not the root of the mean', () => {
    expect(meanRoot).toBeCloseTo(0.9926305, 7)
    expect(Math.sqrt(pressures.reduce((sum, value) => sum + value, 0) / 30) / meanRoot).toBeCloseTo(1.01648, 4)
  })

  test('velocity and flow; the constants of Method 2 are rounded to four digits, so 0.05 % is allowed', () => {
    const metrePerSecond = velocityFeet * 0.3048
    expect(Math.abs(metrePerSecond / 20.67614 - 1)).toBeLessThan(5e-4)
    const standing = dryFlow(
      quantity<Quantity<'m/s'>>(20.67614),
      quantity<Quantity<'m2'>>(3.023637),
      quantity<Fraction>(0),
      at(kelvin, pascal / 1000),
      normal,
    )
    expect(Math.abs(standing / 160_191.28 - 1)).toBeLessThan(1e-5)
  })
})
