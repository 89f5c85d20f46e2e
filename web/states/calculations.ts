import { html } from 'lit'
import type { CalculationAnswer, CalculationInfo, CalculationInput } from '../../protocols/live/calculations.ts'
import type { Asked } from '../answers.ts'
import type { CalculationAsks } from '../views/calculations/ask-calculations.ts'
import { stillSession } from './invented.ts'
import type { Group } from './shown.ts'
import '../views/calculations/calculations-view.ts'

const input = (name: string, meaning: string, more: Partial<CalculationInput> = {}): CalculationInput => ({
  name,
  kind: 'number',
  meaning,
  units: ['ppm', 'vol%'],
  open: false,
  low: 0,
  high: 1_000_000,
  fewest: 1,
  most: 1,
  options: [],
  otherwise: null,
  ...more,
})
/** Invented: no formula that anybody should use. */
const calculation = (name: string, more: Partial<CalculationInfo> = {}): CalculationInfo => ({
  name,
  family: 'invented for this page',
  purpose: 'what an invented reading is, twice over',
  inputs: [
    input('reading', 'the reading'),
    input('way', 'how it was taken', { kind: 'choice', units: [], options: ['dry', 'wet'], low: null, high: null }),
    input('factor', 'what it is multiplied by', { units: ['1'], low: 0, high: 10, otherwise: 2 }),
  ],
  result: { name: 'twice the reading', units: ['ppm', 'vol%'] },
  formula: 'result = factor × reading',
  valid: 'nothing: it is invented',
  source: 'none: it is invented',
  status: 'from memory',
  checks: ['invented-1'],
  caution: 'Gas at this level can hurt: the site’s rules and licensed practice come first.',
  example: { inputs: { reading: '50 ppm', way: 'dry' }, value: 100, unit: 'ppm', note: '' },
  ...more,
})
const all = [
  calculation('invented-double'),
  calculation('invented-half', { family: 'invented, too', status: 'common practice' }),
]
const answer: CalculationAnswer = { ok: true, value: 100, unit: 'ppm', inputs: [] }
const silent: Asked<never> = { ok: false, errors: ['The station does not answer. Is the line to it up?'] }
const never = () => new Promise<never>(() => {})

const asks = (more: Partial<CalculationAsks> = {}): CalculationAsks => ({
  all: async () => ({ ok: true, value: { calculations: all } }),
  result: async () => ({ ok: true, value: answer }),
  ...more,
})
const list = (more: Partial<CalculationAsks> = {}) =>
  html`<calculations-view .session=${stillSession()} .asks=${asks(more)}></calculations-view>`
const sheet = (result: CalculationAsks['result']) =>
  html`<calculation-sheet .asks=${asks({ result })} .calculation=${all[0]}></calculation-sheet>`

export const calculationStates: Group = {
  name: 'Calculations',
  shown: [
    ['list', list()],
    ['asking', list({ all: never })],
    ['the station does not answer', list({ all: async () => silent })],
    ['a sheet with its result', sheet(asks().result)],
    ['a sheet with several results', sheet(async () => ({ ok: true, value: { ...answer, value: [1.25, 2.5, 5] } }))],
    ['a sheet, asking', sheet(never)],
    [
      'a sheet that is refused, at an input and as a whole',
      sheet(async () => ({
        ok: false,
        errors: ['reading: must be a number from 0 to 1000000', 'nothing can be said'],
      })),
    ],
    ['a sheet whose station does not answer', sheet(async () => silent)],
  ],
}
