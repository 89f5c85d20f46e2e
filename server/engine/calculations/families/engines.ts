import {
  type EnginePollutant,
  engineConstants,
  intakeHumidityCorrected,
  massPerOutput,
  massPerWork,
  nitrogenOxidesAtIso,
} from '../../combustion/turbines-and-engines.ts'
import { calculation, choice, type Family, one } from '../calculation.ts'

const pollutants = Object.keys(engineConstants) as [EnginePollutant, ...EnginePollutant[]]

export const engines: Family = {
  title: 'Turbines and engines',
  calculations: [
    calculation({
      name: 'turbine-nitrogen-oxides-at-iso',
      purpose: 'NOx of a turbine at ISO ambient conditions',
      inputs: {
        nitrogenOxides: one('ppm', 'NOx, dry, at 15 % O2', [-1e4, 1e5]),
        referencePressure: one('kPa', 'combustor inlet pressure at 101.3 kPa ambient', [100, 10_000]),
        observedPressure: one('kPa', 'combustor inlet pressure observed', [100, 10_000]),
        humidity: one('kg/kg', 'humidity of the air, water per dry air', [0, 0.1]),
        ambient: one('K', 'ambient temperature', [220, 330]),
      },
      result: { name: 'NOx at 15 % O2 and ISO conditions', unit: 'ppm' },
      formula:
        'nitrogenOxides × √(referencePressure / observedPressure) × exp(19 × (humidity − 0.00633)) × (288 / ambient)^1.53',
      valid: 'turbines under subpart GG; subpart KKKK does not use it',
      source: '40 CFR 60.335(b)(1) (recalled)',
      status: 'from memory',
      checks: ['GT-3'],
      example: {
        inputs: {
          nitrogenOxides: '25',
          referencePressure: '1400',
          observedPressure: '1380',
          humidity: '0.0095',
          ambient: '299',
        },
        value: 25.2532,
      },
      formulaOf: ({ nitrogenOxides, referencePressure, observedPressure, humidity, ambient }) =>
        nitrogenOxidesAtIso(nitrogenOxides, referencePressure, observedPressure, humidity, ambient),
    }),
    calculation({
      name: 'engine-mass-per-work',
      purpose: 'what an engine emits per work',
      inputs: {
        pollutant: choice(pollutants, 'pollutant; hydrocarbons as propane'),
        concentration: one('ppm', 'concentration, dry', [-1e4, 1e6]),
        flow: one('m3/h', 'dry flow at 20 °C', [0, 1e9]),
        hours: one('h', 'length of the run', [0.01, 1000]),
        work: one('hp h', 'work done in it', [0.1, 1e9]),
      },
      result: { name: 'mass per work', unit: 'g/(hp h)' },
      formula: `concentration × k × flow × hours / work; k: ${pollutants.map((name) => `${name} ${engineConstants[name].toExponential()}`).join(', ')} g/m³ per ppm`,
      valid: 'flow at 20 °C and 101.325 kPa, both dry',
      source: '40 CFR 60.4244(d) to (f) (NOx read, CO and hydrocarbons recalled)',
      status: 'published',
      checks: ['GT-4'],
      example: {
        inputs: { pollutant: 'NOx', concentration: '85', flow: '5200', hours: '1', work: '1350' },
        value: 0.626,
      },
      formulaOf: ({ pollutant, concentration, flow, hours, work }) =>
        massPerWork(concentration, pollutant, flow, hours, work),
    }),
    calculation({
      name: 'turbine-mass-per-output',
      purpose: 'NOx of a turbine per gross output',
      inputs: {
        nitrogenOxides: one('ppm', 'NOx on the flow’s basis', [-1e4, 1e5]),
        flow: one('ft3/h', 'flow at standard conditions', [0, 1e11]),
        output: one('MW', 'gross output', [0.001, 10_000]),
      },
      result: { name: 'mass per output', unit: 'lb/MWh' },
      formula: '1.194e-7 × nitrogenOxides × flow / output',
      valid: 'concentration and flow both wet or both dry',
      source: '40 CFR 60.4400(a)',
      status: 'published',
      checks: [],
      example: {
        inputs: { nitrogenOxides: '15', flow: '30000000', output: '50' },
        value: 1.0746,
        note: 'by hand: 1.194e-7 × 15 × 3e7 / 50',
      },
      formulaOf: ({ nitrogenOxides, flow, output }) => massPerOutput(nitrogenOxides, flow, output),
    }),
    calculation({
      name: 'intake-humidity-correction',
      purpose: 'NOx of a compression-ignition engine, corrected for the humidity of its intake air',
      inputs: {
        nitrogenOxides: one('ppm', 'NOx', [-1e4, 1e5]),
        water: one('mol/mol', 'water vapour of the intake air', [0, 0.1]),
      },
      result: { name: 'NOx, corrected', unit: 'ppm' },
      formula: 'nitrogenOxides × (9.953 × water + 0.832)',
      valid: 'compression ignition; spark ignition has other coefficients',
      source: '40 CFR 1065.670(a), with its example',
      status: 'published',
      checks: ['EC-8'],
      example: { inputs: { nitrogenOxides: '700.5', water: '0.022' }, value: 736.2, note: 'as printed' },
      formulaOf: ({ nitrogenOxides, water }) => intakeHumidityCorrected(nitrogenOxides, water),
    }),
  ],
}
