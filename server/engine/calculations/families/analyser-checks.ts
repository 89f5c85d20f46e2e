import {
  biasCorrected,
  biasCorrectedWithLowGas,
  biasDrift,
  calibrationError,
  converterEfficiency,
  pointsByStratification,
  stratification,
  systemBias,
} from '../../quality/analyser-checks.ts'
import { meanOf } from '../../valid-value.ts'
import { calculation, concentration, type Family, one, several } from '../calculation.ts'

const method7e = 'US EPA Method 7E (40 CFR 60 App. A-4), sec. 12'
const span = concentration('calibration span', [1e-6, 1e7])
const ofSpan = { name: '% of the calibration span', unit: '%' } as const
const twice = (meaning: string) => several('concentration', meaning, [-1e7, 1e7], [1, 2])
const bottles =
  'Calibration gases are under pressure and can be toxic: ventilate, secure the cylinder, and follow the gas’s safety sheet and the site’s rules.'

export const analyserChecks: Family = {
  title: 'Checks of the analyser',
  calculations: [
    calculation({
      name: 'calibration-error',
      purpose: 'error of the analyser on a calibration gas fed straight to it',
      inputs: {
        direct: concentration('answer to the gas'),
        certified: concentration('certified concentration'),
        span,
      },
      result: ofSpan,
      formula: '100 × (direct − certified) / span',
      valid: 'accepted within ±2 % of span or 0.5 ppm (0.5 % for O2 and CO2), recalled',
      source: `${method7e} eq. 7E-1 (recalled)`,
      status: 'from memory',
      checks: ['M7E-1'],
      example: { inputs: { direct: '49.2', certified: '50', span: '100' }, value: -0.8 },
      caution: bottles,
      formulaOf: ({ direct, certified, span }) => calibrationError(direct, certified, span),
    }),
    calculation({
      name: 'system-bias',
      purpose: 'difference between a gas fed through the whole system and straight to the analyser',
      inputs: {
        system: concentration('answer through the system'),
        direct: concentration('answer fed directly; with dilution the certified concentration'),
        span,
      },
      result: ofSpan,
      formula: '100 × (system − direct) / span',
      valid: 'accepted within ±5 % of span or 0.5 ppm, recalled; outside, the run is void',
      source: `${method7e} eq. 7E-2 (recalled)`,
      status: 'from memory',
      checks: ['M7E-2', 'V17'],
      example: { inputs: { system: '47.5', direct: '49.2', span: '100' }, value: -1.7 },
      caution: bottles,
      formulaOf: ({ system, direct, span }) => systemBias(system, direct, span),
    }),
    calculation({
      name: 'bias-drift',
      purpose: 'drift between the biases before and after a run',
      inputs: {
        before: one('%', 'bias before, signed, of span', [-100, 100]),
        after: one('%', 'bias after, signed, of span', [-100, 100]),
      },
      result: ofSpan,
      formula: '|after − before|',
      valid: 'signed biases: drift can fail where both biases pass; accepted up to 3 % of span or 0.5 ppm, recalled',
      source: `${method7e} eq. 7E-4 (recalled)`,
      status: 'from memory',
      checks: ['M7E-3', 'V17'],
      example: { inputs: { before: '-1.7', after: '1.6' }, value: 3.3 },
      formulaOf: ({ before, after }) => biasDrift(before, after),
    }),
    calculation({
      name: 'bias-corrected-mean',
      purpose: 'run mean corrected for bias and drift, zero gas as the low gas',
      inputs: {
        mean: concentration('run mean as measured'),
        zeros: twice('answers to zero gas through the system, before and after'),
        upscales: twice('answers to upscale gas through the system, before and after'),
        upscaleGas: concentration('certified upscale gas', [1e-6, 1e7]),
      },
      result: { name: 'corrected mean', unit: 'concentration' },
      formula: '(mean − mean zero) × upscaleGas / (mean upscale − mean zero)',
      valid: 'checks within their limits; never on top of interpolated zeros',
      source: `${method7e} eq. 7E-5b; same form as the older eq. 6C-1, read in a published audit manual`,
      status: 'published',
      checks: ['M7E-4', 'V17'],
      example: { inputs: { mean: '62', zeros: '0.4,1', upscales: '88.6,87', upscaleGas: '90' }, value: 63.341 },
      caution: bottles,
      formulaOf: ({ mean, zeros, upscales, upscaleGas }) =>
        biasCorrected(mean, meanOf(zeros), meanOf(upscales), upscaleGas),
    }),
    calculation({
      name: 'bias-corrected-mean-with-low-gas',
      purpose: 'the same with a low gas above zero',
      inputs: {
        mean: concentration('run mean as measured'),
        lows: twice('answers to the low gas through the system, before and after'),
        upscales: twice('answers to the upscale gas through the system, before and after'),
        lowGas: concentration('certified low gas'),
        upscaleGas: concentration('certified upscale gas', [1e-6, 1e7]),
      },
      result: { name: 'corrected mean', unit: 'concentration' },
      formula: '(mean − mean upscale) × (upscaleGas − lowGas) / (mean upscale − mean low) + upscaleGas',
      valid: 'checks within their limits; with a low gas of zero it is bias-corrected-mean',
      source: `${method7e} eq. 7E-5a; same as the older eq. 3A-1, read in a published audit manual`,
      status: 'published',
      checks: ['M7E-5'],
      example: {
        inputs: { mean: '5.3vol%', lows: '2.1', upscales: '11.85', lowGas: '2', upscaleGas: '12' },
        value: 5.28205,
      },
      caution: bottles,
      formulaOf: ({ mean, lows, upscales, lowGas, upscaleGas }) =>
        biasCorrectedWithLowGas(mean, meanOf(lows), meanOf(upscales), lowGas, upscaleGas),
    }),
    calculation({
      name: 'converter-efficiency',
      purpose: 'how much NO2 a converter turns into NO',
      inputs: {
        read: concentration('NOx read'),
        offered: concentration('NO2 offered', [1e-6, 1e7]),
      },
      result: { name: 'efficiency', unit: '%' },
      formula: '100 × read / offered',
      valid: 'accepted from 90 %, recalled',
      source: 'US EPA Method 7E (40 CFR 60 App. A-4), sec. 8.2.4.1 (recalled)',
      status: 'from memory',
      checks: [],
      example: { inputs: { read: '46', offered: '50' }, value: 92, note: 'by hand' },
      caution: bottles,
      formulaOf: ({ read, offered }) => converterEfficiency(read, offered),
    }),
    calculation({
      name: 'stratification',
      purpose: 'how far the points of a traverse lie from their mean',
      inputs: { points: several('concentration', 'concentration at each point', [-1e7, 1e7], [3, 12]) },
      result: { name: 'largest deviation, % of the mean', unit: '%' },
      formula: '100 × largest |point − mean| / mean',
      valid: 'up to 5 %: one point; up to 10 %: three; else twelve (also by 0.5 or 1.0 ppm), recalled',
      source: 'US EPA Method 7E (40 CFR 60 App. A-4), sec. 8.1.2 (recalled)',
      status: 'from memory',
      checks: ['M7E-6'],
      example: { inputs: { points: '101,97,105' }, value: 3.96 },
      formulaOf: ({ points }) => stratification(points),
    }),
    calculation({
      name: 'points-by-stratification',
      purpose: 'points to sample after a stratification test',
      inputs: { found: one('%', 'stratification found', [0, 1000]) },
      result: { name: 'points', unit: '1' },
      formula: '1 up to 5 %, 3 up to 10 %, else 12',
      valid: 'a test by 3 or 12 points, twice the response time at each',
      source: 'US EPA Method 7E (40 CFR 60 App. A-4), sec. 8.1.2 (recalled)',
      status: 'from memory',
      checks: ['M7E-6'],
      example: { inputs: { found: '3.96' }, value: 1 },
      formulaOf: ({ found }) => pointsByStratification(found),
    }),
  ],
}
