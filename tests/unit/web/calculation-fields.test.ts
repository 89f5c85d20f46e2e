import { describe, expect, test } from 'vitest'
import { calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { calculationNamed } from '../../../server/engine/calculations/catalogue.ts'
import { describedCatalogue } from '../../../server/engine/calculations/described.ts'
import { evaluate } from '../../../server/engine/calculations/evaluate.ts'
import {
  chosenIn,
  exampleFields,
  faultsByInput,
  hashOf,
  matching,
  textOf,
  withUnit,
} from '../../../web/views/calculations/fields.ts'

const { calculations } = calculationsAnswer.parse({ calculations: describedCatalogue() })
const named = (name: string) => {
  const found = calculations.find((one) => one.name === name)
  if (!found) throw new Error(`no calculation ${name}`)
  return found
}

test('the worked example of every calculation, put into its fields, is worked as it is on the command line', () => {
  for (const about of calculations) {
    const calculation = calculationNamed(about.name)
    const fields = exampleFields(about)
    const given = about.inputs.flatMap((input) => {
      const { name } = input
      const text = textOf(fields[name] ?? { text: '', unit: '' }, input, '.')
      return text === null ? [] : [[name, text] as const]
    })
    const [byFields, byCommand] = [Object.fromEntries(given), about.example.inputs].map(
      (inputs) => calculation && evaluate(calculation, inputs),
    )
    expect(byFields).toMatchObject({ ok: true })
    expect([about.name, byFields?.ok && byFields.value]).toEqual([about.name, byCommand?.ok && byCommand.value])
  }
})

test('a loss of 0.073 as a plain number is one of 7.3 %', () => {
  const [loss] = named('efficiency').inputs
  if (!loss) throw new Error('no input')
  const turned = withUnit({ loss: { text: '0.073', unit: '%' } }, [loss], 'loss', '1').loss
  const sent = turned && textOf(turned, loss, '.')
  const calculation = calculationNamed('efficiency')
  // By hand: 100 − 7.3.
  expect(calculation && evaluate(calculation, { loss: sent ?? '' })).toMatchObject({ ok: true, value: 92.7 })
})

test.each([
  ['5,2', ',', 'number', '5.2 %'],
  ['1e-3', ',', 'number', '1e-3 %'],
  // What cannot be told from thousands, and lists, go as they are typed: the station says what is allowed.
  ['1.234,5', ',', 'number', '1.234,5 %'],
  ['5,2', '.', 'number', '5,2 %'],
  ['5,2', ',', 'list', '5,2 %'],
] as const)('%s typed where the decimal mark is %s (%s) is sent as %s', (text, mark, kind, sent) => {
  expect(textOf({ text, unit: '%' }, { kind, units: ['vol%', '%'] }, mark)).toBe(sent)
})

test('a number and its unit stand in fields of their own, concentrations in the unit of the first', () => {
  expect(exampleFields(named('referred-uncertainty'))).toMatchObject({
    concentration: { text: '150', unit: 'mg/m3' },
    ofConcentration: { text: '3', unit: 'mg/m3' },
    oxygen: { text: '5.2', unit: 'vol%' },
    air: { text: '21', unit: 'vol%' },
  })
  expect(exampleFields(named('dry-flow'))).toMatchObject({ velocity: { text: '49.0054', unit: 'ft/s' } })
})

test('a new unit of one concentration is that of all of them, and of nothing else', () => {
  const about = named('referred-uncertainty')
  const turned = withUnit(exampleFields(about), about.inputs, 'ofConcentration', 'ppm')
  expect([turned.concentration?.unit, turned.ofConcentration?.unit, turned.oxygen?.unit]).toEqual([
    'ppm',
    'ppm',
    'vol%',
  ])
  const single = withUnit(exampleFields(about), about.inputs, 'oxygen', 'ppm')
  expect([single.concentration?.unit, single.oxygen?.unit]).toEqual(['mg/m3', 'ppm'])
})

test('what is wrong stands beside the input that it is about', () => {
  const faults = faultsByInput(
    ['oxygen: 40 vol% is outside 0…20 vol%', 'oxygenOfFuel is missing: oxygen', 'it has no value'],
    ['oxygen', 'oxygenOfFuel'],
  )
  expect(Object.fromEntries(faults)).toEqual({
    oxygen: ['40 vol% is outside 0…20 vol%'],
    oxygenOfFuel: ['missing: oxygen'],
    '': ['it has no value'],
  })
})

describe('searching', () => {
  test.each([
    ['siegert', ['stack-loss', 'stack-loss-by-carbon-dioxide']],
    ['METHOD 7E stratification', ['stratification', 'points-by-stratification']],
    ['no such thing', []],
  ])('“%s”', (text, names) => {
    expect(matching(calculations, text).map(({ name }) => name)).toEqual(names)
  })
  test('nothing typed shows all', () => {
    expect(matching(calculations, ' ')).toHaveLength(calculations.length)
  })
})

test('the address tells which is open, and keeps what else it tells', () => {
  const hash = hashOf('#/calculations?replay=night', 'air-ratio')
  expect([hash, chosenIn(hash)]).toEqual(['#/calculations?replay=night&calculation=air-ratio', 'air-ratio'])
  expect(hashOf(hash, '')).toBe('#/calculations?replay=night')
  expect(chosenIn('#/calculations')).toBe('')
})
