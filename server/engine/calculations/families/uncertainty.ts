import { bandOf, conformanceProbability, isCompliantInDoubt } from '../../uncertainty/decision-rule.ts'
import {
  allowedHalfWidth,
  allowedShares,
  expandedUncertainty,
  type MonitoredPollutant,
  oxygenShareOfUncertainty,
  rectangularUncertainty,
  referredUncertainty,
} from '../../uncertainty/propagation.ts'
import { airOxygen, calculation, choice, concentration, type Family, one, referenceOxygen } from '../calculation.ts'

const some = [0, 1e7] as const
const decides =
  'Which rule decides is set by the permit or the authority, and is agreed before the measurement: some subtract the uncertainty, some add it, some ignore it.'
const value = concentration('measured value')
const limit = concentration('limit', [1e-9, 1e7])
const expanded = concentration('its expanded uncertainty U', some)
const pollutants = Object.keys(allowedShares) as [MonitoredPollutant, ...MonitoredPollutant[]]

export const uncertainties: Family = {
  title: 'Uncertainty and decisions',
  calculations: [
    calculation({
      name: 'referred-uncertainty',
      purpose: 'standard uncertainty of a concentration at the reference oxygen',
      inputs: {
        concentration: concentration('concentration, dry, as measured'),
        ofConcentration: concentration('its standard uncertainty', some),
        oxygen: one('vol%', 'measured oxygen, dry', [-1, 20.5]),
        ofOxygen: one('vol%', 'its standard uncertainty', [0, 5]),
        reference: referenceOxygen,
        air: airOxygen(21),
      },
      result: { name: 'standard uncertainty at the reference oxygen', unit: 'concentration' },
      formula:
        '√((k × ofConcentration)² + (concentration × k × ofOxygen / (air − oxygen))²), k = (air − reference) / (air − oxygen)',
      valid: 'inputs independent of each other: a shared gas or a common drift adds linearly',
      source: 'JCGM 100:2008, 5.1.2',
      status: 'common practice',
      checks: ['U-1'],
      example: {
        inputs: { concentration: '150mg/m3', ofConcentration: '3', oxygen: '5.2', ofOxygen: '0.15', reference: '3' },
        value: 3.7832,
      },
      formulaOf: ({ concentration, ofConcentration, oxygen, ofOxygen, reference, air }) =>
        referredUncertainty(concentration, ofConcentration, oxygen, ofOxygen, { reference, air }),
    }),
    calculation({
      name: 'expanded-uncertainty',
      purpose: 'expanded uncertainty from a standard one',
      inputs: {
        standard: concentration('standard uncertainty', some),
        coverageFactor: one('1', 'coverage factor k; 2 covers about 95 %', [1, 10], 2),
      },
      result: { name: 'expanded uncertainty', unit: 'concentration' },
      formula: 'coverageFactor × standard',
      valid: 'k = 2 for results that are about normally distributed',
      source: 'JCGM 100:2008, 6.2.1',
      status: 'common practice',
      checks: ['U-2'],
      example: { inputs: { standard: '3.78323mg/m3' }, value: 7.56646 },
      formulaOf: ({ standard, coverageFactor }) => expandedUncertainty(standard, coverageFactor),
    }),
    calculation({
      name: 'uncertainty-by-oxygen',
      purpose: 'what the oxygen alone adds to a referred concentration',
      inputs: {
        oxygen: one('vol%', 'measured oxygen, dry', [-1, 20.5]),
        ofOxygen: one('vol%', 'its standard uncertainty', [0, 5]),
        air: airOxygen(21),
      },
      result: { name: 'relative uncertainty', unit: '%' },
      formula: '100 × ofOxygen / (air − oxygen)',
      valid: 'it rules near that of air: be wary above 17 vol%',
      source: 'partial derivative of reference-oxygen',
      status: 'common practice',
      checks: ['U-3'],
      example: { inputs: { oxygen: '17', ofOxygen: '0.2' }, value: 5 },
      formulaOf: ({ oxygen, ofOxygen, air }) => oxygenShareOfUncertainty(oxygen, ofOxygen, air),
    }),
    calculation({
      name: 'rectangular-uncertainty',
      purpose: 'standard uncertainty of bounds within which every value is as likely',
      inputs: { halfWidth: concentration('half the width between the bounds', some) },
      result: { name: 'standard uncertainty', unit: 'concentration' },
      formula: 'halfWidth / √3',
      valid: 'tolerances, resolution (half a digit), drift that is not corrected',
      source: 'JCGM 100:2008, 4.3.7',
      status: 'common practice',
      checks: ['U-4'],
      example: { inputs: { halfWidth: '0.2vol%' }, value: 0.11547 },
      formulaOf: ({ halfWidth }) => rectangularUncertainty(halfWidth),
    }),
    calculation({
      name: 'conformance-probability',
      purpose: 'probability that the true value lies at or below a limit',
      inputs: { value, standard: concentration('its standard uncertainty', [1e-9, 1e7]), limit },
      result: { name: 'probability', unit: '1' },
      formula: 'Φ((limit − value) / standard), Φ the normal distribution',
      valid: 'values that are about normally distributed; good to 2e-7',
      source: 'JCGM 106:2012, 7.3; Φ by Abramowitz and Stegun 7.1.26',
      status: 'common practice',
      checks: ['U-5'],
      example: { inputs: { value: '95mg/m3', standard: '3', limit: '100' }, value: 0.9522 },
      caution: decides,
      formulaOf: ({ value, standard, limit }) => conformanceProbability(value, standard, limit),
    }),
    calculation({
      name: 'decision-band',
      purpose: 'pass, fail or in between, with a guard band as wide as U',
      inputs: { value, expanded, limit },
      result: { name: 'decision', unit: '' },
      formula: 'pass to limit − U, conditional pass to limit, conditional fail to limit + U, fail above',
      valid: 'upper limits',
      source: 'JCGM 106:2012 with the bands of ILAC-G8:2019',
      status: 'published',
      checks: ['U-6'],
      example: { inputs: { value: '95mg/m3', expanded: '6', limit: '100' }, value: 'conditional pass' },
      caution: decides,
      formulaOf: ({ value, expanded, limit }) => bandOf(value, expanded, limit),
    }),
    calculation({
      name: 'compliance-less-uncertainty',
      purpose: 'whether a value less its uncertainty meets the limit: the doubt favours the operator',
      inputs: { value, expanded, limit },
      result: { name: 'verdict', unit: '' },
      formula: 'value − expanded ≤ limit',
      valid: 'rules that say so, as that for small furnaces; others add the uncertainty',
      source: '1. BImSchV (2010), Annex 2 no. 2.3',
      status: 'published',
      checks: ['EU-17'],
      example: { inputs: { value: '106mg/m3', expanded: '8', limit: '100' }, value: 'compliant' },
      caution: decides,
      formulaOf: ({ value, expanded, limit }) =>
        isCompliantInDoubt(value, expanded, limit) ? 'compliant' : 'not compliant',
    }),
    calculation({
      name: 'allowed-half-width',
      purpose: 'largest half-width of the 95 % interval that a continuous monitor may have',
      inputs: { limit, pollutant: choice(pollutants, 'pollutant') },
      result: { name: 'half-width of the 95 % interval', unit: 'concentration' },
      formula: `limit × share; ${pollutants.map((name) => `${name} ${allowedShares[name] * 100} %`).join(', ')}`,
      valid: 'continuous monitors at their daily limit; a portable cell needs its own budget',
      source: '13. BImSchV, Annex 3; Directive 2010/75/EU, Annex V Part 3 and 4',
      status: 'published',
      checks: ['U-7'],
      example: { inputs: { limit: '200mg/m3', pollutant: 'NOx' }, value: 40, note: 'as printed' },
      formulaOf: ({ limit, pollutant }) => allowedHalfWidth(limit, pollutant),
    }),
  ],
}
