import { expect, test } from 'vitest'
import { z } from 'zod'
import { choiceOf } from '../../../../protocols/instrument/choice.ts'
import { stationFile } from '../../../../server/engine/settings/station-file.ts'

/** Every list of words in the schema beside what is said of them. */
function choicesIn(node: unknown): { readonly words: readonly unknown[]; readonly told: readonly unknown[] }[] {
  if (Array.isArray(node)) return node.flatMap(choicesIn)
  if (typeof node !== 'object' || node === null) return []
  const { enum: words, enumDescriptions: told } = node as { enum?: unknown[]; enumDescriptions?: unknown[] }
  const own = Array.isArray(words) && Array.isArray(told) ? [{ words, told }] : []
  return [...own, ...Object.values(node).flatMap(choicesIn)]
}

test('each unit stands beside its own words in what the form of the set-up is made from, the one of digits too', () => {
  const units = choicesIn(z.toJSONSchema(stationFile, { io: 'input', unrepresentable: 'any' })).filter(({ words }) =>
    words.includes('vol%'),
  )
  expect(units.length).toBeGreaterThan(0)
  for (const { words, told } of units) {
    expect(told).toHaveLength(words.length)
    const of = (unit: string): unknown => told[words.indexOf(unit)]
    expect(of('vol%')).toBe('% by volume')
    if (words.includes('1')) expect(of('1')).toMatch(/^no unit/)
  }
})

test('words that are digits keep their own descriptions', () => {
  const schema = z.toJSONSchema(choiceOf(['b', '1', 'a'], { a: 'an a', '1': 'a one', b: 'a b' }))
  const [found] = choicesIn(schema)
  expect(Object.fromEntries((found?.words ?? []).map((word, at) => [word, found?.told[at]]))).toEqual({
    a: 'an a',
    '1': 'a one',
    b: 'a b',
  })
})
