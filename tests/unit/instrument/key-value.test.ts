import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const profile = {
  form: 'key-value',
  fields: [
    { name: 'o2', at: 'O2' },
    { name: 'co', at: 'CO' },
  ],
}

test('names find their values in any order, line by line', () => {
  const reader = aReader(profile)
  const seen = ['O2=8.1;CO=112', 'CO=113;O2=8.2', 'T=200;CO=114;x=1;O2=8.3', 'O2=8.4;CO=115'].map(
    (line) => readLine(reader, `${line}\r\n`).values,
  )
  expect(seen).toEqual([
    [8.1, 112],
    [8.2, 113],
    [8.3, 114],
    [8.4, 115],
  ])
})

test('blanks around names, equals signs and values are of no account', () => {
  expect(readLine(aReader(profile), ' O2 = 8.1 ;  CO=112 \n').values).toEqual([8.1, 112])
})

test('a name that is the beginning of another is another name', () => {
  expect(readLine(aReader(profile), 'CO2=9.9;O2=8.1;CO=112;O22=7\n').values).toEqual([8.1, 112])
})

test('a name that does not come leaves its field absent', () => {
  expect(readLine(aReader(profile), 'O2=8.1\n').values).toEqual([8.1, 'absent'])
})

test('a name without a value is a missing value', () => {
  expect(readLine(aReader(profile), 'O2=8.1;CO=\n').values).toEqual([8.1, 'missing'])
})

test('two lines that were run together are refused: a name comes twice', () => {
  expect(readLine(aReader(profile), 'O2=8.1;CO=112;O2=8.2;CO=113\n').refused).toBe('wrong_form')
})

test('with blanks between the parts a time stamp without a name is found by its position', () => {
  const reader = aReader({ ...profile, between: ' ', time: { fields: [0, 1], format: 'yyyy-MM-dd HH:mm:ss' } })
  expect(readLine(reader, '2024-03-05 22:00:01   O2=8.1\tCO=112\n')).toMatchObject({
    values: [8.1, 112],
    time: '2024-03-05T22:00:01.000Z',
  })
})

test('a time of day is no name with a value, though a colon is the equals sign', () => {
  const reader = aReader({ ...profile, between: ' ', equals: ':', time: { fields: [0], format: 'HH:mm:ss' } })
  expect(readLine(reader, '11:59:01 O2:8.1 CO:112\n')).toMatchObject({
    values: [8.1, 112],
    time: '2024-03-05T11:59:01.000Z',
  })
})

test('numbers may be names', () => {
  const reader = aReader({
    form: 'key-value',
    equals: ':',
    fields: [
      { name: 'o2', at: '1' },
      { name: 'co', at: '12' },
    ],
  })
  expect(readLine(reader, '12:112;1:8.1\n').values).toEqual([8.1, 112])
})

test('a part without a name is ignored, or refuses the line where the profile says so', () => {
  expect(readLine(aReader(profile), 'hello;O2=8.1;CO=112\n').values).toEqual([8.1, 112])
  expect(readLine(aReader({ ...profile, bare: 'refused' }), 'hello;O2=8.1;CO=112\n').refused).toBe('wrong_form')
})

test('separators may have several characters', () => {
  expect(readLine(aReader({ ...profile, between: ', ', equals: '->' }), 'O2->8.1, CO->112\n').values).toEqual([
    8.1, 112,
  ])
})

test('two fields may ask for the same name', () => {
  const reader = aReader({
    form: 'key-value',
    fields: [
      { name: 'a', at: 'O2' },
      { name: 'b', at: 'O2' },
    ],
  })
  expect(readLine(reader, 'O2=8.1\n').values).toEqual([8.1, 8.1])
})

test('a line without any of the names holds nothing', () => {
  expect(readLine(aReader(profile), 'NO=5;T=200\n').refused).toBe('nothing_readable')
})
