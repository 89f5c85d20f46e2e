import { chartConstants, cusum } from '../../quality/cusum.ts'
import { meanDriftCorrected, spanDrift, zeroAndSpanCorrected, zeroCorrected } from '../../quality/drift.ts'
import { trueConcentrations } from '../../quality/interference.ts'
import { clearingTime, responseTime90 } from '../../quality/response.ts'
import { finiteOrNaN } from '../../valid-value.ts'
import { calculation, concentration, type Family, type Input, one, several } from '../calculation.ts'

const pair = (meaning: string) => several('concentration', meaning, [-1e7, 1e7], [2, 2])
const share = one('%', 'share of the interval that has passed', [0, 100])
const rows: Input & { kind: 'rows' } = {
  kind: 'rows',
  unit: '1',
  meaning: 'a row per cell, a number per gas, rows parted by ; and own sensitivity 1',
  low: -10,
  high: 10,
  fewest: 2,
  most: 8,
}

export const cells: Family = {
  title: 'Drift, response and cross-sensitivity of cells',
  calculations: [
    calculation({
      name: 'zero-corrected',
      purpose: 'a value less the zero interpolated to its time',
      inputs: {
        value: concentration('value as read'),
        zeros: pair('zeros before and after'),
        start: one('min', 'time of the zero before', [-1e6, 1e6], 0),
        end: one('min', 'time of the zero after', [-1e6, 1e6]),
        at: one('min', 'time of the value', [-1e6, 1e6]),
      },
      result: { name: 'value, zero corrected', unit: 'concentration' },
      formula: 'value − (zero before + (zero after − zero before) × (at − start) / (end − start))',
      valid: 'times between the two zeros: drift is not extrapolated; a clock that never steps',
      source: 'linear interpolation between zero checks',
      status: 'common practice',
      checks: ['EC-2'],
      example: { inputs: { value: '87', zeros: '2,5', end: '90', at: '45' }, value: 83.5 },
      formulaOf: ({ value, zeros: [before = Number.NaN, after = Number.NaN], start, end, at }) =>
        zeroCorrected(value, before, after, (at - start) / (end - start)),
    }),
    calculation({
      name: 'zero-and-span-corrected',
      purpose: 'a value by zero and span interpolated to its time',
      inputs: {
        value: concentration('value as read'),
        zeros: pair('zeros before and after'),
        spans: pair('answers to span gas before and after'),
        spanGas: concentration('certified span gas', [1e-6, 1e7]),
        share,
      },
      result: { name: 'value, corrected', unit: 'concentration' },
      formula: 'spanGas × (value − zero) / (span − zero), zero and span linear in time',
      valid: 'between the checks; span answers above the zeros',
      source: '(measurement − zero) / span of an open atmospheric-chemistry package; linear in time',
      status: 'published',
      checks: ['EC-3'],
      example: {
        inputs: { value: '210', zeros: '1,4', spans: '402,388', spanGas: '400', share: '25' },
        value: 209.956,
      },
      formulaOf: ({
        value,
        zeros: [z0 = Number.NaN, z1 = Number.NaN],
        spans: [s0 = Number.NaN, s1 = Number.NaN],
        spanGas,
        share,
      }) =>
        zeroAndSpanCorrected(value, { before: z0, after: z1 }, { before: s0, after: s1, gas: spanGas }, share / 100),
    }),
    calculation({
      name: 'drift-corrected-mean',
      purpose: 'a mean corrected by zero and span checks before and after, as US engine tests have it',
      inputs: {
        value: concentration('mean as measured'),
        zeros: pair('zeros before and after'),
        spans: pair('answers to span gas before and after'),
        zeroGas: concentration('reference zero'),
        spanGas: concentration('reference span', [1e-6, 1e7]),
      },
      result: { name: 'mean, drift corrected', unit: 'concentration' },
      formula: 'zeroGas + (spanGas − zeroGas) × (2 value − sum of zeros) / (sum of spans − sum of zeros)',
      valid: 'span answers above the zeros',
      source: '40 CFR 1065.672(d)(2), with its example (procedure read, equation and digits recalled)',
      status: 'from memory',
      checks: ['EC-4'],
      example: {
        inputs: { value: '435.5', zeros: '0.6,-5.2', spans: '1800.5,1695.8', zeroGas: '0', spanGas: '1800' },
        value: 450.2,
        note: 'as printed',
      },
      formulaOf: ({
        value,
        zeros: [z0 = Number.NaN, z1 = Number.NaN],
        spans: [s0 = Number.NaN, s1 = Number.NaN],
        zeroGas,
        spanGas,
      }) => meanDriftCorrected(value, { before: z0, after: z1, gas: zeroGas }, { before: s0, after: s1, gas: spanGas }),
    }),
    calculation({
      name: 'span-drift',
      purpose: 'drift between two checks with the same gas',
      inputs: {
        before: concentration('answer before'),
        after: concentration('answer after'),
        span: concentration('span, or the span gas where the method says so', [1e-6, 1e7]),
      },
      result: { name: 'drift, % of span', unit: '%' },
      formula: '100 × (after − before) / span',
      valid: 'say which base the limit has: span or span gas',
      source: 'pre/post comparison as in US EPA Method 7E and ASTM D6522 practice',
      status: 'common practice',
      checks: ['EC-7'],
      example: { inputs: { before: '300.6', after: '293.1', span: '300' }, value: -2.5 },
      formulaOf: ({ before, after, span }) => spanDrift(before, after, span),
    }),
    calculation({
      name: 'drift-chart',
      purpose: 'cumulative-sum chart of checks: finds a slow drift that no single check shows',
      inputs: {
        differences: several('concentration', 'reading less reference of each check, in order', [-1e7, 1e7], [1, 500]),
        deviation: concentration('standard deviation of the monitor', [1e-9, 1e7]),
      },
      result: {
        name: 'what to take off the readings after the last check, or that nothing is to be done',
        unit: 'concentration',
      },
      formula:
        'sums of differences beyond 0.501 deviation, restarted at 0; from 2.85 deviation on 0.7 × (0.501 deviation + sum / count)',
      valid:
        'checks of one gas at one level; its precision part (1.85 and 6.9 deviation²) asks for a look at the instrument',
      source: 'EN 14181, QAL3 (recalled)',
      status: 'from memory',
      checks: ['V18'],
      example: { inputs: { differences: '0.4,1.2,1.5,0.9,1.8', deviation: '1' }, value: 0.945 },
      formulaOf: ({ differences, deviation }) => {
        const last = cusum(differences, { deviation, ...chartConstants }).at(-1)
        if (!last) return null
        if (last.adjustBy !== null) return finiteOrNaN(last.adjustBy)
        return last.precisionAlarm ? 'precision lost: look at the instrument' : 'nothing to be done'
      },
    }),
    calculation({
      name: 'response-time',
      purpose: 'time to 90 % of a step of a first-order cell',
      inputs: { timeConstant: one('s', 'time constant', [0, 10_000]) },
      result: { name: 't90', unit: 's' },
      formula: 'timeConstant × ln 10',
      valid: 'first-order answers; rise and fall of a cell differ',
      source: 'IUPAC Gold Book R05346: time from step to 90 % of the final change',
      status: 'published',
      checks: ['EC-5'],
      example: { inputs: { timeConstant: '15' }, value: 34.5388 },
      formulaOf: ({ timeConstant }) => responseTime90(timeConstant),
    }),
    calculation({
      name: 'clearing-time',
      purpose: 'time until a cell has cleared to a small reading after a change to clean air',
      inputs: {
        from: concentration('concentration before', [1e-9, 1e7]),
        to: concentration('reading that no longer matters', [1e-9, 1e7]),
        responseTime: one('s', 't90 of the fall', [0, 10_000]),
      },
      result: { name: 'time', unit: 's' },
      formula: 'responseTime × log10(from / to)',
      valid: 'first-order answers; to not above from',
      source: 'first-order decay',
      status: 'common practice',
      checks: ['EC-6'],
      example: { inputs: { from: '500', to: '1', responseTime: '35' }, value: 94.464 },
      formulaOf: ({ from, to, responseTime }) => clearingTime(from, to, responseTime),
    }),
    calculation({
      name: 'cross-sensitivity',
      purpose: 'true concentrations behind cells that answer to each other’s gases',
      inputs: {
        sensitivities: rows,
        readings: several(
          'concentration',
          'readings after zero and span, in the order of the rows',
          [-1e7, 1e7],
          [2, 8],
        ),
      },
      result: { name: 'concentrations, in the order of the columns', unit: 'concentration' },
      formula: 'solution of sensitivities × true = readings',
      valid: 'square matrices with a condition number up to 10; every interfering gas measured (hydrogen on a CO cell)',
      source: 'linear cross-sensitivity model; coefficients differ by cell and age: they are inputs',
      status: 'common practice',
      checks: ['EC-1'],
      example: {
        inputs: { sensitivities: '1,0.1;0,1', readings: '110,100ppm' },
        value: [100, 100],
        note: 'by hand: 110 = 100 + 0.1 × 100',
      },
      formulaOf: ({ sensitivities, readings }) => trueConcentrations(sensitivities, readings),
    }),
  ],
}
