import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { faultLine, validate } from '../../../server/commands/validate.ts'
import { stationSchema } from '../../../server/station/load-station-file.ts'
import { settingsTables, tablesBegin, tablesEnd } from '../../support/settings-tables.ts'

const page = readFileSync(join(import.meta.dirname, '../../../docs/station-file.md'), 'utf8')
const folder = mkdtempSync(join(tmpdir(), 'page-'))
afterAll(() => rmSync(folder, { recursive: true }))

test('the page has every setting as the schema has it', () => {
  expect(page.split(tablesBegin)[1]?.split(tablesEnd)[0]?.trim()).toBe(settingsTables(stationSchema()).trim())
})

test('every setting has its meaning on the page', () => {
  const rows = page.split(tablesBegin)[1]?.match(/^\| `.*$/gm) ?? []
  const unnamed = rows.filter((row) => / \| +\|$/.test(row) && !row.includes('NAME'))
  expect(unnamed).toEqual([])
})

test('the example is a sound station file', () => {
  const path = join(folder, 'boiler-house.json')
  writeFileSync(path, /```jsonc\n([\s\S]*?)```/.exec(page)?.[1] ?? '')
  const { faults, warnings } = validate(path)
  expect([...faults, ...warnings].map(faultLine)).toEqual([])
})
