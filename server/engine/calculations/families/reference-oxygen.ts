import { quantity, type VolumePercent } from '../../../../protocols/words/units.ts'
import { meanOfReferred, referredMean } from '../../conversions/order-of-conversion.ts'
import { atReferenceOxygenByCarbonDioxide } from '../../conversions/reference-carbon-dioxide.ts'
import { atReferenceOxygen, type OxygenReference } from '../../conversions/reference-oxygen.ts'
import { flowAtReferenceOxygen } from '../../flow/volume-flow.ts'
import {
  airOxygen,
  calculation,
  concentration,
  dryOxygen,
  type Family,
  one,
  referenceOxygen,
  several,
} from '../calculation.ts'
import { nitrogenOxidesAtNormal } from './concentrations.ts'

/** By hand nobody is held back from a value near that of air but by the divisor itself; a station has its guard. */
const by = (reference: VolumePercent, air: VolumePercent): OxygenReference => ({
  reference,
  ambient: air,
  guard: quantity<VolumePercent>(20.5),
  onlyAboveReference: false,
})
const valid = 'dry gas with oxygen up to 20.5 vol%; near that of air the value swings widely: be wary above 17 vol%'
const pairs = {
  concentrations: several('concentration', 'concentrations, dry, in their order', [-1e7, 1e7], [1, 500]),
  oxygens: several('vol%', 'oxygen to each of them, dry', [-1, 25], [1, 500]),
  reference: referenceOxygen,
  air: airOxygen(21),
}

export const referenceOxygens: Family = {
  title: 'Reference oxygen',
  calculations: [
    calculation({
      name: 'reference-oxygen',
      purpose: 'a dry concentration referred to the oxygen content that a limit names',
      inputs: {
        concentration: concentration('measured concentration, dry'),
        oxygen: dryOxygen,
        reference: referenceOxygen,
        air: airOxygen(21),
      },
      result: { name: 'concentration at the reference oxygen', unit: 'concentration' },
      formula: 'concentration × (air − reference) / (air − oxygen)',
      valid,
      source:
        'Directive 2010/75/EU, Annex VI, Part 7; 1. BImSchV (2010), Annex 2 no. 2.2; 40 CFR 60.4213(d)(2) and 63.6620 eq. 2 (air 20.9)',
      status: 'published',
      checks: ['EU-1', 'EU-2', 'EU-3', 'EU-4', 'GT-1'],
      example: { inputs: { concentration: '150mg/m3', oxygen: '5.2', reference: '3' }, value: 170.886 },
      caution:
        'Some permits forbid the correction where the oxygen lies below the reference. Never use oxygen that was read during a purge.',
      formulaOf: ({ concentration, oxygen, reference, air }) =>
        atReferenceOxygen(concentration, oxygen, by(reference, air)),
    }),
    calculation({
      name: 'reference-oxygen-by-carbon-dioxide',
      purpose: 'the same from measured CO2 in place of O2, by the F factors of the fuel',
      inputs: {
        concentration: concentration('measured concentration, dry'),
        carbonDioxide: one('vol%', 'measured carbon dioxide, dry', [0.1, 25]),
        reference: one('vol%', 'reference oxygen', [0, 20], 15),
        dryFactor: one('dscf/MMBtu', 'F_d of the fuel', [5000, 20_000], 8710),
        carbonFactor: one('scf/MMBtu', 'F_c of the fuel', [500, 3000], 1040),
      },
      result: { name: 'concentration at the reference oxygen', unit: 'concentration' },
      formula: 'concentration × ((20.9 − reference) / (0.209 × dryFactor / carbonFactor)) / carbonDioxide',
      valid: 'one fuel, whose F factors are known; no carbon dioxide but from burning',
      source: '40 CFR 60.4213(d)(3), 63.6620(e)(2) (procedure read, images of the equations recalled)',
      status: 'from memory',
      checks: ['GT-2'],
      example: { inputs: { concentration: '18ppm', carbonDioxide: '4.0562' }, value: 14.958 },
      formulaOf: ({ concentration, carbonDioxide, reference, dryFactor, carbonFactor }) =>
        atReferenceOxygenByCarbonDioxide(concentration, carbonDioxide, reference, dryFactor, carbonFactor),
    }),
    calculation({
      name: 'nitrogen-oxides-at-reference-oxygen',
      purpose: 'NO and NO2 in ppm as NO2 in mg/m³ at the reference oxygen, 0 °C and 101.325 kPa',
      inputs: {
        no: one('ppm', 'nitric oxide, dry', [-1e6, 1e6]),
        no2: one('ppm', 'nitrogen dioxide, dry', [-1e6, 1e6]),
        oxygen: dryOxygen,
        reference: referenceOxygen,
        air: airOxygen(21),
      },
      result: { name: 'nitrogen oxides as NO2 at the reference oxygen', unit: 'mg/m3' },
      formula:
        '(no + no2) × 46.0055 × 101.325 / (R × 273.15) × (air − reference) / (air − oxygen), R = 8.31446261815324 J/(mol K)',
      valid,
      source: 'Directive 2010/75/EU, Annex VI, Part 7, with NOx expressed as NO2',
      status: 'published',
      checks: ['EU-15'],
      example: { inputs: { no: '120', no2: '6', oxygen: '6.2', reference: '3' }, value: 314.537 },
      formulaOf: ({ no, no2, oxygen, reference, air }) =>
        atReferenceOxygen(nitrogenOxidesAtNormal(no, no2), oxygen, by(reference, air)),
    }),
    calculation({
      name: 'mean-of-referred-values',
      purpose: 'each value referred with its own oxygen, then the mean: EU practice for short-term values',
      inputs: pairs,
      result: { name: 'mean at the reference oxygen', unit: 'concentration' },
      formula: 'mean of concentration × (air − reference) / (air − oxygen) over all pairs',
      valid: `${valid}; as many oxygens as concentrations`,
      source: 'EU practice: normalise each short-term value, then average',
      status: 'common practice',
      checks: ['MEAN-1'],
      example: { inputs: { concentrations: '100,300mg/m3', oxygens: '3,15', reference: '3' }, value: 500 },
      caution: 'The order changes the result: a report must say which was taken.',
      formulaOf: ({ concentrations, oxygens, reference, air }) =>
        concentrations.length === oxygens.length
          ? meanOfReferred(concentrations, oxygens, by(reference, air))
          : Number.NaN,
    }),
    calculation({
      name: 'referred-mean',
      purpose: 'the mean concentration referred with the mean oxygen: US practice for a run',
      inputs: pairs,
      result: { name: 'mean at the reference oxygen', unit: 'concentration' },
      formula: 'mean concentration × (air − reference) / (air − mean oxygen)',
      valid: `${valid}; as many oxygens as concentrations`,
      source: 'US run practice: average concentration and oxygen over the run, then correct',
      status: 'common practice',
      checks: ['MEAN-2'],
      example: { inputs: { concentrations: '100,300mg/m3', oxygens: '3,15', reference: '3' }, value: 300 },
      caution: 'The order changes the result: a report must say which was taken.',
      formulaOf: ({ concentrations, oxygens, reference, air }) =>
        referredMean(concentrations, oxygens, by(reference, air)),
    }),
    calculation({
      name: 'flow-at-reference-oxygen',
      purpose: 'a dry flow as it goes with a concentration at the reference oxygen',
      inputs: {
        flow: one('m3/h', 'dry flow at the measured oxygen', [0, 1e9]),
        oxygen: one('vol%', 'measured oxygen, dry', [-1, 21]),
        reference: referenceOxygen,
        air: airOxygen(21),
      },
      result: { name: 'dry flow at the reference oxygen', unit: 'm3/h' },
      formula: 'flow × (air − oxygen) / (air − reference)',
      valid: 'dry flow; oxygen up to that of the air',
      source: 'mass balance',
      status: 'common practice',
      checks: ['EU-16'],
      example: {
        inputs: { flow: '12500', oxygen: '8', reference: '3' },
        value: 9027.78,
        note: 'by hand: 12500 × 13 / 18',
      },
      formulaOf: ({ flow, oxygen, reference, air }) => flowAtReferenceOxygen(flow, oxygen, reference, air),
    }),
  ],
}
