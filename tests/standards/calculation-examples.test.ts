import { expect, test } from 'vitest'
import { catalogue } from '../../server/engine/calculations/catalogue.ts'
import { evaluate } from '../../server/engine/calculations/evaluate.ts'

// The worked example of every calculation: most are those of tests/fixtures/published/gas-calculations.json, rounded; the
// others say in their note how they were worked by hand or which other check they must agree with.

const all = catalogue.flatMap(({ calculations }) => calculations)

/** Half a unit of the last digit that is written. */
function halfDigit(value: number): number {
  const [digits = '', exponent = '0'] = String(value).toLowerCase().split('e')
  const decimals = digits.split('.')[1]?.length ?? 0
  return 0.5 * 10 ** (Number(exponent) - decimals)
}

const off = (found: number, written: number): number => Math.abs(found - written) - halfDigit(written) * (1 + 1e-9)

test.each(all.map((calculation) => ({ calculation, name: calculation.name, source: calculation.source })))(
  '$name meets its worked example to the last digit written ($source)',
  ({ calculation }) => {
    const { inputs, value, unit } = calculation.example
    const evaluation = evaluate(calculation, inputs, unit ?? null)
    expect(evaluation).toMatchObject({ ok: true })
    const found = evaluation.ok ? evaluation.value : ''
    if (typeof value === 'string') expect(found).toBe(value)
    else if (typeof value === 'number') expect(off(found as number, value), `${found}`).toBeLessThanOrEqual(0)
    else
      expect(
        value.filter((one, place) => !(off((found as number[])[place] ?? Number.NaN, one) <= 0)),
        JSON.stringify(found),
      ).toEqual([])
  },
)

test('a calculation without a check of the collection says how its example was worked, or quotes a printed table', () => {
  const unsupported = all.filter(
    ({ checks, example, status }) => checks.length === 0 && !example.note && status !== 'from memory',
  )
  expect(unsupported.map(({ name }) => name)).toEqual([])
})
