import { type Fraction, quantity } from '../../../../protocols/words/units.ts'
import { moistureShare } from '../../conversions/dry-basis.ts'
import {
  type AssumedFuel,
  assumedMoisture,
  moistureContent,
  moistureToReport,
  sampledGas,
} from '../../flow/moisture-train.ts'
import { moistureByWetBulb, saturatedShare } from '../../moisture/dew-point.ts'
import { calculation, choice, type Family, one } from '../calculation.ts'

const method4 = 'US EPA Method 4 (40 CFR 60 App. A-3), sec. 12'
const volumePercent = (share: Fraction): number => share * 100
const pressure = one('kPa', 'absolute stack pressure', [40, 200], 101.325)
const fuels = Object.keys(assumedMoisture) as [AssumedFuel, ...AssumedFuel[]]

export const moistures: Family = {
  title: 'Moisture of stack gas',
  calculations: [
    calculation({
      name: 'sampled-gas',
      purpose: 'gas that went through the dry meter, at 68 °F and 29.92 inHg',
      inputs: {
        metered: one('ft3', 'volume as metered', [0, 10_000]),
        meterFactor: one('1', 'meter factor Y', [0.8, 1.2], 1),
        pressure: one('inHg', 'absolute pressure in the meter', [15, 40]),
        temperature: one('degR', 'temperature in the meter', [450, 650]),
      },
      result: { name: 'dry volume at standard conditions', unit: 'ft3' },
      formula: '17.64 × metered × meterFactor × pressure / temperature',
      valid: 'a leak-checked train',
      source: `${method4} eq. 4-3 (recalled)`,
      status: 'from memory',
      checks: ['M4-1'],
      example: { inputs: { metered: '35', pressure: '29.9', temperature: '540' }, value: 34.1857 },
      formulaOf: ({ metered, meterFactor, pressure, temperature }) =>
        sampledGas(metered, meterFactor, pressure, temperature),
    }),
    calculation({
      name: 'moisture-content',
      purpose: 'water vapour in stack gas from condensate and silica gel',
      inputs: {
        condensate: one('mL', 'water condensed', [0, 100_000]),
        silicaGain: one('g', 'gain of the silica gel', [0, 10_000]),
        dryGas: one('ft3', 'dry gas sampled, at standard conditions', [0.01, 10_000]),
      },
      result: { name: 'water vapour in the wet gas', unit: 'vol%' },
      formula: 'vapour / (vapour + dryGas), vapour = 0.04706 × condensate + 0.04715 × silicaGain',
      valid: 'gas without droplets; in saturated gas the lower of this and saturated-moisture counts',
      source: `${method4} eq. 4-1, 4-2, 4-4 (recalled)`,
      status: 'from memory',
      checks: ['M4-2'],
      example: { inputs: { condensate: '90', silicaGain: '8', dryGas: '34.1857' }, value: 11.89 },
      formulaOf: ({ condensate, silicaGain, dryGas }) => volumePercent(moistureContent(condensate, silicaGain, dryGas)),
    }),
    calculation({
      name: 'saturated-moisture',
      purpose: 'the most water vapour that stack gas can hold',
      inputs: { temperature: one('degC', 'stack temperature', [0.01, 200]), pressure },
      result: { name: 'water vapour of saturated gas', unit: 'vol%' },
      formula: 'saturation pressure of water at temperature / pressure',
      valid: 'below the boiling point at that pressure',
      source: `${method4}.1.7; saturation pressure of IAPWS-IF97`,
      status: 'common practice',
      checks: ['M4-3'],
      example: { inputs: { temperature: '50' }, value: 12.19 },
      formulaOf: ({ temperature, pressure }) => volumePercent(saturatedShare(temperature, pressure)),
    }),
    calculation({
      name: 'moisture-to-report',
      purpose: 'moisture that counts where the gas is saturated or carries droplets',
      inputs: {
        measured: one('vol%', 'measured by the train', [0, 100]),
        temperature: one('degC', 'stack temperature', [0.01, 200]),
        pressure,
      },
      result: { name: 'water vapour to report', unit: 'vol%' },
      formula: 'the lower of measured and saturated-moisture',
      valid: 'below the boiling point at that pressure',
      source: `${method4}.1.7`,
      status: 'common practice',
      checks: [],
      example: {
        inputs: { measured: '15', temperature: '50' },
        value: 12.19,
        note: 'saturated gas of 50 °C holds no more',
      },
      formulaOf: ({ measured, temperature, pressure }) =>
        volumePercent(moistureToReport(moistureShare(measured), saturatedShare(temperature, pressure))),
    }),
    calculation({
      name: 'moisture-by-wet-bulb',
      purpose: 'moisture of stack gas from its wet and dry bulb',
      inputs: {
        dry: one('degF', 'dry bulb', [32, 400]),
        wet: one('degF', 'wet bulb', [33, 212]),
        pressure,
      },
      result: { name: 'water vapour in the wet gas', unit: 'vol%' },
      formula:
        '(saturation pressure at wet − 3.67e-4 × pressure × (dry − wet) × (1 + (wet − 32) / 1571)) / pressure, in °F',
      valid: 'a wick that stays wet; acid gases raise the wet bulb',
      source: 'US stack practice (recalled); saturation pressure of IAPWS-IF97',
      status: 'from memory',
      checks: [],
      example: {
        inputs: { dry: '122', wet: '122' },
        value: 12.19,
        note: 'equal bulbs are saturated gas: 50 °C as in M4-3',
      },
      formulaOf: ({ dry, wet, pressure }) => volumePercent(moistureByWetBulb(dry, wet, pressure)),
    }),
    calculation({
      name: 'assumed-moisture',
      purpose: 'moisture to be assumed where none is measured, US',
      inputs: { fuel: choice(fuels, 'fuel') },
      result: { name: 'water vapour in the wet gas', unit: 'vol%' },
      formula: 'table: anthracite 5, bituminous 8, sub-bituminous 12, lignite 13, wood 15, natural gas boiler 18',
      valid: 'emission rates by eq. 19-3, 19-4 and 19-8, where it errs on the high side',
      source: '40 CFR 75.12(b)',
      status: 'published',
      checks: ['P75-5'],
      example: { inputs: { fuel: 'natural gas boiler' }, value: 18, note: 'as printed' },
      formulaOf: ({ fuel }) => volumePercent(quantity<Fraction>(assumedMoisture[fuel])),
    }),
  ],
}
