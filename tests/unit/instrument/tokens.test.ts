import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const values = (settings: Record<string, unknown>, line: string) => readLine(aReader(settings), line).values

test.each(['', ' ', '-', '--', '---', '----', ' ---- '])(
  '“%s” stands for no value unless the profile says otherwise',
  (text) => {
    expect(values({}, `8.1;${text}\n`)).toEqual([8.1, 'missing'])
  },
)

test('a token that is a number is compared by value, so that its decimals do not matter', () => {
  const seen = ['-200', '-200,0', '-200,000', '-2e2', '-200,1', '200'].map(
    (text) => values({ decimal: ',', missing: ['-200'] }, `8,1;${text}\n`)[1],
  )
  expect(seen).toEqual(['missing', 'missing', 'missing', 'missing', -200.1, 200])
})

test('over and under range are told apart from missing, and the rest of the line counts', () => {
  const settings = { over: ['OVER', '9999'], under: ['UNDER'] }
  expect(values(settings, 'OVER;112\n')).toEqual(['over', 112])
  expect(values(settings, '8.1;9999.0\n')).toEqual([8.1, 'over'])
  expect(values(settings, 'UNDER;----\n')).toEqual(['under', 'missing'])
})

test('a token of one field means nothing in another', () => {
  const fields = [
    { name: 'o2', at: 0, missing: ['off', '0'] },
    { name: 'co', at: 1 },
  ]
  expect(values({ fields }, 'off;0\n')).toEqual(['missing', 0])
  expect(values({ fields }, '0;off\n')).toEqual(['missing', 'unreadable'])
})

test('tokens are held to the letter', () => {
  expect(values({ over: ['OVER'] }, '8.1;over\n')).toEqual([8.1, 'unreadable'])
})

test('an empty field is missing though the profile’s own tokens do not name it', () => {
  expect(values({ missing: ['n/a'] }, '8.1;\n')).toEqual([8.1, 'missing'])
  expect(values({ missing: ['n/a'] }, '8.1;----\n')).toEqual([8.1, 'unreadable'])
})

test('small negative readings and zero are values', () => {
  expect(values({}, '-0.4;0\n')).toEqual([-0.4, 0])
})

test('garbage in one field leaves the others standing', () => {
  expect(values({}, '8.1;1#2\n')).toEqual([8.1, 'unreadable'])
})

test.each(['NaN', 'Infinity', '-Infinity', '0x1F', '1e999', '1,5', '1 2'])(
  '“%s” is unreadable, not a number',
  (text) => {
    expect(values({}, `8.1;${text}\n`)).toEqual([8.1, 'unreadable'])
  },
)

test('a line with nothing but garbage is refused; one with nothing but tokens is not', () => {
  expect(readLine(aReader(), 'x;y\n').refused).toBe('nothing_readable')
  expect(readLine(aReader(), ' ; \n').refused).toBe('nothing_readable')
  expect(readLine(aReader(), '----;x\n').values).toEqual(['missing', 'unreadable'])
})

test('a unit behind the number is cut off, with or without a blank; another unit makes the field unreadable', () => {
  const settings = { missing: ['--'], over: ['OVER'], fields: [{ name: 'co', at: 0, unitSuffix: 'ppm' }] }
  const seen = ['112ppm', '112 ppm', ' 112 ppm ', '112', '0.1mg', 'ppm', '--', '--ppm', 'OVER', '-4ppm'].map((text) =>
    readLine(aReader(settings), text),
  )
  expect(seen.map(({ refused, values }) => refused ?? values[0])).toEqual([
    112,
    112,
    112,
    112,
    'nothing_readable',
    'nothing_readable',
    'missing',
    'missing',
    'over',
    -4,
  ])
})

test('a numeric token is found before a unit as well', () => {
  expect(values({ missing: ['-200'], fields: [{ name: 'co', at: 0, unitSuffix: 'ppm' }] }, '-200.0ppm')).toEqual([
    'missing',
  ])
})

test('a unit may be written with letters of another encoding', () => {
  const settings = { encoding: 'latin-1', fields: [{ name: 't', at: 0, unitSuffix: '°C' }] }
  expect(readLine(aReader(settings), Uint8Array.from(Buffer.from('148.2 °C', 'latin1'))).values).toEqual([148.2])
})

test('the dilution factor is told with the reading; a line without one tells none', () => {
  const reader = aReader({
    fields: [
      { name: 'co', at: 0 },
      { name: 'factor', at: 1 },
    ],
    dilution: { state: 'in-the-values', field: 'factor' },
  })
  expect(readLine(reader, '112;10').dilution).toBe(10)
  expect(readLine(reader, '112;----').dilution).toBeNaN()
  expect(readLine(aReader(), '112;10').dilution).toBeNaN()
})
