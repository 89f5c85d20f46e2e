import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { calculationsCatalogue } from '../../support/calculations-catalogue.ts'

test('the page of the calculations is that of the catalogue', () => {
  const page = readFileSync(join(import.meta.dirname, '../../../docs/calculations-catalogue.md'), 'utf8')
  expect(page).toBe(calculationsCatalogue())
})
