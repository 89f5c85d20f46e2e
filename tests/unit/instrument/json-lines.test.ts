import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const profile = {
  form: 'json-lines',
  fields: [
    { name: 'o2', at: 'gas.o2' },
    { name: 'co', at: 'co' },
  ],
}

test('nested keys are found by their path', () => {
  expect(readLine(aReader(profile), '{"gas":{"o2":8.1},"co":-1.5e2}\n').values).toEqual([8.1, -150])
})

test('numbers may be texts, with the profile’s decimal mark', () => {
  expect(readLine(aReader({ ...profile, decimal: ',' }), '{"gas":{"o2":"8,1"},"co":112.5}\n').values).toEqual([
    8.1, 112.5,
  ])
})

test('null is a missing value; a key that does not come is absent; true, lists and objects are no values', () => {
  const reader = aReader({
    form: 'json-lines',
    fields: ['a', 'b', 'c', 'd', 'e', 'f'].map((name) => ({ name, at: name })),
  })
  expect(readLine(reader, '{"a":null,"c":true,"d":[1],"e":{},"f":1}\n').values).toEqual([
    'missing',
    'absent',
    'unreadable',
    'unreadable',
    'unreadable',
    1,
  ])
})

test('a position counts in a list', () => {
  expect(
    readLine(
      aReader({
        form: 'json-lines',
        fields: [
          { name: 'a', at: 'cells.1' },
          { name: 'b', at: '0' },
        ],
      }),
      '{"cells":[1,2]}\n',
    ).values,
  ).toEqual([2, 'absent'])
})

test('a list has places, and nothing of what every list has', () => {
  expect(
    readLine(
      aReader({
        form: 'json-lines',
        fields: [
          { name: 'a', at: 'length' },
          { name: 'b', at: '1' },
        ],
      }),
      '[8.1,112]\n',
    ).values,
  ).toEqual(['absent', 112])
})

test('a key with a dot in it is found by its whole name', () => {
  expect(readLine(aReader(profile), '{"gas.o2":8.1,"co":112}\n').values).toEqual([8.1, 112])
})

test.each(['__proto__', 'constructor', 'toString', 'gas.__proto__.o2', 'constructor.name'])(
  '%s is a key like any other, and absent where the line has none',
  (at) => {
    const reader = aReader({
      form: 'json-lines',
      fields: [
        { name: 'x', at },
        { name: 'co', at: 'co' },
      ],
    })
    expect(readLine(reader, '{"gas":{},"co":1}\n').values).toEqual(['absent', 1])
  },
)

test('a line with __proto__ in it changes no object', () => {
  const reader = aReader(profile)
  expect(readLine(reader, '{"__proto__":{"co":5,"gas":{"o2":6}},"co":112}\n').values).toEqual(['absent', 112])
  expect(({} as Record<string, unknown>).co).toBeUndefined()
})

test.each([
  '{"co":1e999,"gas":{"o2":1}}',
  '{"co":"Infinity","gas":{"o2":1}}',
  '{"co":"0x10","gas":{"o2":1}}',
  '{"co":"NaN","gas":{"o2":1}}',
])('%s holds no number that counts', (line) => {
  expect(readLine(aReader(profile), line).values).toEqual([1, 'unreadable'])
})

test.each([
  '{"co":NaN}',
  '{"co":1',
  '{co:1}',
  '5',
  'null',
  '"x"',
  '{"co":1}}',
  `${'['.repeat(4000)}`,
  `${'{"a":'.repeat(800)}`,
])('%s is refused: it is no JSON object', (line) => {
  expect(readLine(aReader(profile), line).refused).toBe('wrong_form')
})

test('JSON nested two thousand deep is read like any other', () => {
  expect(readLine(aReader(profile), `{"x":${'['.repeat(2000)}${']'.repeat(2000)},"co":112}`).values).toEqual([
    'absent',
    112,
  ])
})

test('long texts are carried whole, whichever fields ask for them', () => {
  const text = 'é'.repeat(1500)
  const fields = Array.from({ length: 20 }, (_, index) => ({ name: `f${index}`, at: 'text' }))
  const reader = aReader({
    form: 'json-lines',
    fields: [...fields, { name: 'co', at: 'co' }],
    status: [{ field: 'f19', tokens: { [text]: { phase: 'purge' } } }],
  })
  expect(readLine(reader, `{"text":"${text}","co":112}`)).toMatchObject({ status: [text] })
})

test('escapes and other encodings give the same token', () => {
  const settings = {
    ...profile,
    encoding: 'latin-1',
    fields: [{ name: 'state', at: 'state' }],
    status: [{ field: 'state', tokens: { Spülen: { phase: 'purge' } } }],
  }
  expect(readLine(aReader(settings), '{"state":"Sp\\u00fclen"}').status).toEqual(['Spülen'])
  expect(readLine(aReader(settings), Uint8Array.from(Buffer.from('{"state":"Spülen"}', 'latin1'))).status).toEqual([
    'Spülen',
  ])
})
