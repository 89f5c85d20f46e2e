import { countedMean, isDayOfHalfHours, isHourOfTwoPoints } from '../../quality/averaging-rules.ts'
import { calculation, type Family, one, several } from '../calculation.ts'

const whole = (meaning: string, most: number) => one('1', meaning, [0, most])

export const averages: Family = {
  title: 'Averages and their validity',
  calculations: [
    calculation({
      name: 'counted-mean',
      purpose: 'mean over what counts, weighted by time',
      inputs: {
        values: several('concentration', 'values', [-1e7, 1e7], [1, 500]),
        lengths: several('s', 'time that each stands for', [0, 1e7], [1, 500]),
        phases: {
          kind: 'choices',
          options: ['measure', 'settle', 'purge', 'zero', 'span', 'standby', 'fault', 'unknown'],
          meaning: 'phase of each; measure alone counts',
          fewest: 1,
          most: 500,
        },
      },
      result: { name: 'mean', unit: 'concentration' },
      formula: 'sum of value × length / sum of length, over the phase measure',
      valid: 'as many lengths and phases as values, at least one of them measure',
      source: 'purge data excluded; weighting by time',
      status: 'common practice',
      checks: ['MEAN-4'],
      example: {
        inputs: { values: '40,0.5,44ppm', lengths: '1200,300,1200', phases: 'measure,purge,measure' },
        value: 42,
        note: 'with the purge it would be 37.4',
      },
      formulaOf: ({ values, lengths, phases }) =>
        values.length === lengths.length && values.length === phases.length
          ? countedMean(
              values,
              lengths,
              phases.map((phase) => phase === 'measure'),
            )
          : Number.NaN,
    }),
    calculation({
      name: 'hour-of-two-points',
      purpose: 'whether an hour with calibration or maintenance holds enough points, US',
      inputs: { points: whole('valid points in the hour', 3600) },
      result: { name: 'hour', unit: '' },
      formula: 'points ≥ 2',
      valid: 'rules that ask for two points alone; 60.13(h)(2)(iii) also asks that they lie 15 minutes apart',
      source: '40 CFR 60.1260(b), 60.13(e)(2)',
      status: 'published',
      checks: ['MEAN-3'],
      example: { inputs: { points: '2' }, value: 'valid' },
      formulaOf: ({ points }) => (isHourOfTwoPoints(points) ? 'valid' : 'not valid'),
    }),
    calculation({
      name: 'day-of-half-hours',
      purpose: 'whether a day stays valid with half-hours discarded, EU',
      inputs: { discarded: whole('half-hours discarded for malfunction or maintenance', 48) },
      result: { name: 'day', unit: '' },
      formula: 'discarded ≤ 5',
      valid: 'waste incineration and rules that follow it',
      source: 'Directive 2010/75/EU, Annex VI, Part 8, no. 1.2',
      status: 'published',
      checks: ['MEAN-5'],
      example: { inputs: { discarded: '6' }, value: 'not valid' },
      formulaOf: ({ discarded }) => (isDayOfHalfHours(discarded) ? 'valid' : 'not valid'),
    }),
  ],
}
