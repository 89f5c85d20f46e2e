import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { expect, test } from 'vitest'
import { faultLine, validateFile } from '../../../../server/commands/validate.ts'

const folder = join(import.meta.dirname, '../../../fixtures/bad-station-files')
const cases = readdirSync(folder)
  .filter((name) => name.endsWith('.bad.json'))
  .map((name) => name.replace('.bad.json', ''))

test('there are broken station files, and each has its expected text', () => {
  expect(cases.length).toBeGreaterThanOrEqual(25)
})

test.each(cases)('%s: place, value found, what is allowed', (name) => {
  const expected = readFileSync(join(folder, `${name}.expected.txt`), 'utf8')
  const found = validateFile(join(folder, `${name}.bad.json`)).map((fault) =>
    faultLine({ ...fault, file: basename(fault.file) }),
  )
  expect(`${found.join('\n')}\n`).toBe(expected)
  expect(found.length).toBeGreaterThan(0)
})

test('no key of a file changes what objects are', () => {
  validateFile(join(folder, 'prototype-key.bad.json'))
  expect(Object.hasOwn(Object.prototype, 'polluted')).toBe(false)
})
