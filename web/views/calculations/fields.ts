import type { CalculationInfo, CalculationInput } from '../../../protocols/live/calculations.ts'

/** What stands in the fields of one input. */
export interface Field {
  readonly text: string
  readonly unit: string
}
export type Fields = Readonly<Record<string, Field>>

/** The worked example in the fields; inputs that it leaves out have what stands in for them. */
export function exampleFields({ inputs, example }: CalculationInfo): Fields {
  const open = inputs.find((input) => input.open && hasUnit(input, example.inputs[input.name] ?? ''))
  const openUnit = open ? fieldOf(open, example.inputs[open.name] ?? '', '').unit : 'ppm'
  return Object.fromEntries(
    inputs.map((input) => [
      input.name,
      fieldOf(input, example.inputs[input.name] ?? String(input.otherwise ?? ''), input.open ? openUnit : ''),
    ]),
  )
}

const unitBehind = (input: CalculationInput, text: string): string =>
  [...input.units]
    .sort((one, other) => other.length - one.length)
    .find((unit) => unit !== '1' && text.endsWith(unit)) ?? ''
const hasUnit = (input: CalculationInput, text: string): boolean => unitBehind(input, text) !== ''

function fieldOf(input: CalculationInput, text: string, otherUnit: string): Field {
  const unit = unitBehind(input, text)
  return {
    text: text.slice(0, text.length - unit.length).trim(),
    unit: unit || otherUnit || (input.units[0] ?? ''),
  }
}

/**
 * What is sent of an input; null: nothing is typed, and what stands in for it may do. A number without a unit is read in
 * the first of its units; of all others, also of the plain number beside per cent, the unit goes along. `mark`: the decimal mark of whoever types;
 * the station takes points alone, since commas part its lists.
 */
export function textOf(
  { text, unit }: Field,
  { kind, units }: Pick<CalculationInput, 'kind' | 'units'>,
  mark: '.' | ',',
): string | null {
  if (text.trim() === '') return null
  const number = mark === ',' && kind === 'number' ? text.replace(/^([^.,]*),([^.,]*)$/, '$1.$2') : text
  return unit === '' || unit === units[0] ? number : `${number} ${unit}`
}

/** The fields after `name` got another unit: what is open stands in one kind of unit, so all open inputs follow. */
export function withUnit(fields: Fields, inputs: readonly CalculationInput[], name: string, unit: string): Fields {
  const isOpen = inputs.some((input) => input.name === name && input.open)
  const moved = inputs.filter((input) => input.name === name || (isOpen && input.open)).map((input) => input.name)
  return { ...fields, ...Object.fromEntries(moved.map((one) => [one, { text: fields[one]?.text ?? '', unit }])) }
}

/** What is wrong, by the input that it begins with; '' for what concerns none alone. */
export function faultsByInput(
  errors: readonly string[],
  names: readonly string[],
): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>()
  for (const error of errors) {
    const name = names.find((one) => error.startsWith(`${one}: `) || error.startsWith(`${one} is missing`)) ?? ''
    found.set(name, [
      ...(found.get(name) ?? []),
      name === '' ? error : error.slice(name.length).replace(/^(?:: | is )/, ''),
    ])
  }
  return found
}

/** Calculations that have every word of a search, in any of their texts. */
export function matching(all: readonly CalculationInfo[], search: string): readonly CalculationInfo[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean)
  return all.filter(({ name, family, purpose, source, result }) => {
    const text = `${name} ${name.replaceAll('-', ' ')} ${family} ${purpose} ${source} ${result.name}`.toLowerCase()
    return words.every((word) => text.includes(word))
  })
}

/** `#/calculations?calculation=NAME`: the address tells which is open. */
export const chosenIn = (hash: string): string => new URLSearchParams(hash.split('?')[1] ?? '').get('calculation') ?? ''
/** The address of a calculation within the page's own; '' for the list. */
export function hashOf(pageHash: string, name: string): string {
  const [path = '', query = ''] = pageHash.split('?')
  const asked = new URLSearchParams(query)
  if (name === '') asked.delete('calculation')
  else asked.set('calculation', name)
  const text = asked.toString()
  return text ? `${path}?${text}` : path
}
