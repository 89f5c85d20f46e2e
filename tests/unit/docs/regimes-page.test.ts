import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { decide } from '../../../server/engine/decision/verdict.ts'
import { presetAt } from '../../../server/engine/settings/regimes.ts'

const page = readFileSync(join(import.meta.dirname, '../../../docs/regimes.md'), 'utf8')
/** Cells of the rows whose first cell begins with `start`. */
const rows = (start: string): string[][] =>
  page
    .split('\n')
    .filter((line) => line.startsWith(`| ${start}`))
    .map((line) => line.split(' | ').map((cell) => cell.replace(/^\| |[` ]|\|$/g, '')))

const scalars = [
  'station.standardTime',
  'conversions.ambientOxygen',
  'conversions.referredUnit',
  'conversions.applyTo',
  'conversions.onlyAboveReference',
  'averaging.align',
  'results.label',
  'results.rounding.ties',
  'results.negative',
  'results.belowDetection',
  'results.comparison',
]
describe('the table of presets has what is preset', () => {
  test.each(scalars)('%s', (path) => {
    const [row = []] = rows(`\`${path}\``)
    expect(row[1]).toContain(String(presetAt('eu', path.split('.'))))
    expect(row[2]).toContain(String(presetAt('us', path.split('.'))))
  })
  test('the eu preset does not decide about the uncertainty, the us preset ignores it', () => {
    const [row = []] = rows('`results.uncertainty` | **')
    expect([row[1], presetAt('eu', ['results', 'uncertainty'])]).toEqual(['**notpreset**', undefined])
    expect([row[2], presetAt('us', ['results', 'uncertainty'])]).toEqual(['ignore', 'ignore'])
  })
})

test.each([93, 95, 101, 106.01])('the worked verdict of %d is what the code gives', (result) => {
  const [row = []] = rows(`${result} |`)
  const limit = { kind: 'high', value: 100, digits: { decimals: 0 } } as const
  const by = (uncertainty: 'subtract' | 'add' | 'ignore') =>
    decide(result, 6, limit, { uncertainty, comparison: 'absolute', ties: 'half-even' })
  const words = (complies: boolean | null) => (complies ? 'complies' : 'doesnot')
  expect(row.slice(1)).toEqual([
    by('subtract').verdict,
    words(by('subtract').complies),
    words(by('add').complies),
    `${by('ignore').verdict},${words(by('ignore').complies)}`,
  ])
})
