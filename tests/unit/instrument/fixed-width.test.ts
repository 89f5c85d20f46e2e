import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const profile = {
  form: 'fixed-width',
  fields: [
    { name: 'o2', at: { from: 0, length: 6 } },
    { name: 'co', at: { from: 6, length: 6 } },
  ],
}

test('columns of bytes hold numbers with blanks around', () => {
  expect(readLine(aReader(profile), '   8.1 112  more\n').values).toEqual([8.1, 112])
})

test('blank columns are missing values', () => {
  expect(readLine(aReader(profile), '   8.1      \n').values).toEqual([8.1, 'missing'])
})

test('a field behind the end of the line is absent', () => {
  expect(readLine(aReader(profile), '   8.1\n').values).toEqual([8.1, 'absent'])
})

test('a line that ends inside a field is refused: 1120 cut to 112 looks like a number', () => {
  expect(readLine(aReader(profile), '   8.1  112\n').refused).toBe('wrong_columns')
})

test('columns that have no blank between them are still two values', () => {
  expect(readLine(aReader(profile), '8.1000112.00\n').values).toEqual([8.1, 112])
})
