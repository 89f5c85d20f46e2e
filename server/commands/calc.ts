import type { Calculation } from '../engine/calculations/calculation.ts'
import { calculationNamed, calculationNames, catalogue } from '../engine/calculations/catalogue.ts'
import { type DescribedCalculation, described, describedCatalogue } from '../engine/calculations/described.ts'
import { type Evaluation, evaluate, type Taken } from '../engine/calculations/evaluate.ts'
import { didYouMean } from '../engine/settings/nearest.ts'
import { exitStatus } from '../trouble.ts'
import { print, printJson, say } from './printing.ts'

interface Wishes {
  readonly input?: readonly string[]
  readonly in?: string
  readonly json?: boolean
}

/** `flueledger calc [NAME]`: one published calculation with its source, or the list of them. Faults come all at once, with what is allowed. */
export function calc(name: string | undefined, { input = [], in: unit, json = false }: Wishes): number {
  if (name === undefined) {
    if (input.length === 0 && unit === undefined) return list(json)
    return refused(['name the calculation before its inputs; flueledger calc lists them'])
  }
  const calculation = calculationNamed(name)
  if (calculation === null)
    return refused([`there is no calculation "${name}"${meant(name)} flueledger calc lists them`])
  const { given, faults } = readPairs(input)
  const evaluation = evaluate(calculation, given, unit ?? null)
  const all = [...faults, ...(evaluation.ok ? [] : evaluation.faults)]
  if (!evaluation.ok || all.length > 0) {
    refused(all)
    say(`example: ${exampleLine(calculation)}`)
    return exitStatus.wrongUse
  }
  const family = catalogue.find(({ calculations }) => calculations.includes(calculation))?.title ?? ''
  tell(described(calculation, family), evaluation, json)
  return exitStatus.done
}

function list(json: boolean): number {
  if (json) {
    printJson({ calculations: describedCatalogue() })
    return exitStatus.done
  }
  const width = Math.max(...calculationNames.map((name) => name.length))
  for (const { title, calculations } of catalogue) {
    print(title)
    for (const { name, purpose } of calculations) print(`  ${name.padEnd(width)}  ${purpose}`)
    print('')
  }
  say('flueledger calc NAME --input name=value …; with --json every input, unit and range')
  return exitStatus.done
}

/** Name and value of each input; what is no pair, and what comes twice, is told. */
function readPairs(pairs: readonly string[]): { given: Readonly<Record<string, string>>; faults: readonly string[] } {
  const given = new Map<string, string>()
  const faults: string[] = []
  for (const pair of pairs) {
    const [, name = '', value = ''] = /^([^=]+)=(.*)$/s.exec(pair) ?? []
    if (name === '')
      faults.push(`"${pair}" is no name=value; a unit follows its number without a space, or the pair stands in quotes`)
    else if (given.has(name)) faults.push(`${name} is given twice`)
    else given.set(name, value)
  }
  return { given: Object.fromEntries(given), faults }
}

function refused(faults: readonly string[]): number {
  for (const fault of faults) say(`flueledger: ${fault}`)
  return exitStatus.wrongUse
}

/** What a wrong name may have meant: one spelt almost so, else those that have a word of it. */
function meant(name: string): string {
  const near = didYouMean(name, calculationNames)
  if (near !== '') return near
  const words = name
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word.length > 2)
  const related = calculationNames.filter((known) => words.some((word) => known.includes(word))).slice(0, 6)
  return related.length > 0 ? `; there are ${related.join(', ')};` : ';'
}

const quoted = (text: string): string => (/[\s;()]/.test(text) ? `"${text}"` : text)
const exampleLine = ({ name, example }: Calculation): string =>
  [
    `flueledger calc ${name}`,
    ...Object.entries(example.inputs).map(([key, text]) => `--input ${quoted(`${key}=${text}`)}`),
  ].join(' ')

/** Ten significant digits for the eye; JSON has them all. */
const forTheEye = (value: number): string => String(Number(value.toPrecision(10)))
const valueText = (value: Taken['value']): string =>
  typeof value === 'number' ? forTheEye(value) : typeof value === 'string' ? value : value.map(itemText).join(', ')
const itemText = (item: number | string | readonly number[]): string =>
  typeof item === 'number' ? forTheEye(item) : typeof item === 'string' ? item : `(${item.map(forTheEye).join(', ')})`
const withUnit = (value: Taken['value'], unit: string): string =>
  unit === '' || unit === '1' ? valueText(value) : `${valueText(value)} ${unit}`

function tell(about: DescribedCalculation, found: Evaluation & { ok: true }, json: boolean): void {
  const { name, formula, valid, source, status, checks, caution } = about
  if (json) {
    const result = { name: about.result.name, value: found.value, unit: found.unit }
    printJson({ calculation: name, result, inputs: found.inputs, formula, valid, source, status, checks, caution })
    return
  }
  print(`${about.result.name}: ${withUnit(found.value, found.unit)}`)
  print('')
  const rows: readonly (readonly [string, string])[] = [
    ...found.inputs.map((taken): readonly [string, string] => [
      taken.name,
      `${withUnit(taken.value, taken.unit)}${taken.given ? '' : ' (by default)'}`,
    ]),
    ['formula', formula],
    ['holds for', valid],
    ['source', source],
    ['status', status === 'from memory' ? 'from memory: check it in your copy before you quote it' : status],
    ...(checks.length > 0 ? [['checks', checks.join(', ')] as const] : []),
    ...(caution === '' ? [] : [['caution', caution] as const]),
  ]
  const width = Math.max(...rows.map(([key]) => key.length))
  for (const [key, text] of rows) print(`${key.padEnd(width)}  ${text}`)
}
