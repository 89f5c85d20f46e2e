import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const named = [
  { name: 'o2', at: 'O2' },
  { name: 'co', at: 'CO' },
]

test('columns are found by their position', () => {
  const reader = aReader({
    fields: [
      { name: 'co', at: 2 },
      { name: 'o2', at: 0 },
    ],
  })
  expect(readLine(reader, '8.1;x;112\r\n').values).toEqual([112, 8.1])
})

test('with a decimal comma the same line reads the same, quoted or not', () => {
  const reader = aReader({ decimal: ',' })
  expect(readLine(reader, '20,9;112,5\n').values).toEqual([20.9, 112.5])
  expect(readLine(reader, '"20,9";"112,5"\n').values).toEqual([20.9, 112.5])
})

test('a comma as delimiter is data inside quotes', () => {
  const reader = aReader({
    delimiter: ',',
    decimal: '.',
    fields: [
      { name: 'o2', at: 0 },
      { name: 'co', at: 2 },
    ],
  })
  expect(readLine(reader, '8.1,"trap, full",112\n').values).toEqual([8.1, 112])
})

const bothCommas = { delimiter: ',', decimal: ',' as const }

test('a comma between columns and one inside numbers are told apart by quotes', () => {
  const reader = aReader(bothCommas)
  expect(readLine(reader, '"12,5","3,4"\n').values).toEqual([12.5, 3.4])
  // Writers that quote only what holds the delimiter leave whole numbers bare.
  expect(readLine(reader, '13,"3,5"\n').values).toEqual([13, 3.5])
  expect(readLine(reader, '13,4\n').values).toEqual([13, 4])
})

test('where nothing is quoted, no line is read with a comma for both', () => {
  // 20.9 and 11.2, or four whole numbers? Nothing is guessed; nor does a text in quotes tell.
  const reader = aReader(bothCommas)
  expect(readLine(reader, '20,9,11,2\n').refused).toBe('wrong_columns')
  expect(readLine(reader, '20,9,11,2,"Meas"\n').refused).toBe('wrong_columns')
  expect(readLine(reader, '"20","11"\n').values).toEqual([20, 11])
})

test('a header tells how many columns there are, so that whole numbers without quotes are read from the first line on', () => {
  const reader = aReader({ ...bothCommas, header: true, columns: 'exactly', fields: named })
  readLine(reader, 'O2,CO\n')
  expect(readLine(reader, '20,9,11,2\n').refused).toBe('wrong_columns')
  expect(readLine(reader, '20,11\n').values).toEqual([20, 11])
})

test('a quote inside quotes is written twice', () => {
  const reader = aReader({
    fields: [
      { name: 'o2', at: 0 },
      { name: 'note', at: 1 },
    ],
    status: [{ field: 'note', tokens: { 'the "trap"': { fault: 'condensate' } } }],
  })
  expect(readLine(reader, '8.1;"the ""trap"""\n')).toMatchObject({ values: [8.1, 'missing'], status: ['the "trap"'] })
})

test.each(['8.1;"112', '8.1;"112""', '"', '8.1;"11""2'])('a quote that does not end refuses the line %s', (line) => {
  expect(readLine(aReader(), line).refused).toBe('unterminated_quote')
})

test('text behind the closing quote is no column of any form', () => {
  expect(readLine(aReader(), '8.1;"112"3\n').refused).toBe('wrong_form')
})

test('an empty quoted column is an empty column', () => {
  expect(readLine(aReader(), '8.1;""\n').values).toEqual([8.1, 'missing'])
})

test('without a quote character quotes are text', () => {
  expect(readLine(aReader({ quote: '' }), '8.1;"112"\n').values).toEqual([8.1, 'unreadable'])
})

test('tabulators delimit, written as \\t or as they are; empty columns between them count', () => {
  expect(readLine(aReader({ delimiter: '\\t', fields: [{ name: 'co', at: 2 }] }), '8.1\t\t112\n').values).toEqual([112])
  expect(readLine(aReader({ delimiter: '\t', fields: [{ name: 'co', at: 2 }] }), '"8.1"\t\t112\n').values).toEqual([
    112,
  ])
})

test('one blank as delimiter means any run of blanks, before the first column too', () => {
  const reader = aReader({ delimiter: ' ' })
  expect(readLine(reader, '   8.1 \t  112  \n').values).toEqual([8.1, 112])
  expect(readLine(reader, ' "8.1"   "112" \n').values).toEqual([8.1, 112])
})

test('a delimiter may have several characters', () => {
  expect(readLine(aReader({ delimiter: ' | ' }), '8.1 | 112\n').values).toEqual([8.1, 112])
  expect(readLine(aReader({ delimiter: '||' }), '8.1||112|5\n').values).toEqual([8.1, 'unreadable'])
})

test('a line with fewer columns than the profile needs is refused, since it may be cut', () => {
  expect(readLine(aReader(), '8.1\n').refused).toBe('wrong_columns')
})

test('a header gives the columns their places, whatever their order', () => {
  const reader = aReader({ header: true, fields: named })
  expect(readLine(reader, 'CO; O2 ;T\n').refused).toBe('header')
  expect(readLine(reader, '112;8.1;200\n').values).toEqual([8.1, 112])
})

test('lines before the header wait for it and are told as unread', () => {
  const reader = aReader({ header: true, fields: named })
  expect(readLine(reader, '112;8.1\n').refused).toBe('wrong_columns')
  expect(readLine(reader, 'CO;O2\n').refused).toBe('header')
  expect(readLine(reader, '112;8.1\n').values).toEqual([8.1, 112])
})

test('a repeated header is recognised, the units below it too', () => {
  const reader = aReader({ header: true, unitsRow: true, fields: named })
  const seen = ['O2;CO', '%;ppm', '8.1;112', 'O2;CO', '%;ppm', '8.2;113'].map(
    (line) => readLine(reader, `${line}\n`).refused,
  )
  expect(seen).toEqual(['header', 'header', null, 'header', 'header', null])
})

test('behind a repeated header without units the next line is data', () => {
  const reader = aReader({ header: true, unitsRow: true, fields: named })
  const seen = ['O2;CO', '%;ppm', 'O2;CO', '8.2;113'].map((line) => readLine(reader, `${line}\n`).refused)
  expect(seen).toEqual(['header', 'header', 'header', null])
})

test('a new header with a column more moves the columns: no value slips into its neighbour', () => {
  const reader = aReader({ header: true, columns: 'exactly', fields: named })
  const lines = ['O2;CO', '8.1;112', 'O2;NO;CO', '8.1;60;112'].map((line) => readLine(reader, `${line}\n`))
  expect(lines.map(({ values }) => values)).toEqual([[], [8.1, 112], [], [8.1, 112]])
})

test('with the header known, a line with a column more or less is refused where the profile says exactly', () => {
  const reader = aReader({ header: true, columns: 'exactly', fields: named })
  const seen = ['O2;CO;T', '8.1;112;200', '8.1;60;112;200', '8.1;112', '8.1;112;', '8.1;112;200;;'].map(
    (line) => readLine(reader, `${line}\n`).refused,
  )
  expect(seen).toEqual(['header', null, 'wrong_columns', 'wrong_columns', null, null])
})

test('without a header the first line that reads without fault sets the number of columns', () => {
  const reader = aReader({ columns: 'exactly' })
  const seen = ['x;y;z', '8.1;112;', '8.1;112', '8.1;112;5', '8.1;112;5;6'].map(
    (line) => readLine(reader, `${line}\n`).refused,
  )
  expect(seen).toEqual(['nothing_readable', null, 'wrong_columns', null, 'wrong_columns'])
})

test('rows before the data are skipped, then the header, then the units', () => {
  const reader = aReader({ skipLines: 2, header: true, unitsRow: true, fields: named })
  const seen = ['a title', '', 'O2;CO', '%;ppm', '8.1;112'].map((line) => readLine(reader, `${line}\n`).refused)
  expect(seen).toEqual(['header', 'header', 'header', 'header', null])
})

test('a heading that is quoted or begins with a byte order mark is the same heading', () => {
  const reader = aReader({ header: true, fields: named })
  expect(readLine(reader, '\ufeff"O2";"CO"\n').refused).toBe('header')
  expect(readLine(reader, '8.1;112\n').values).toEqual([8.1, 112])
})

test('a reader that is reset waits for its header again', () => {
  const reader = aReader({ header: true, fields: named })
  readLine(reader, 'O2;CO\n')
  reader.reset()
  expect(readLine(reader, '8.1;112\n').refused).toBe('wrong_columns')
})

test('a header is remembered though the memory that it came in is used again', () => {
  const reader = aReader({
    header: true,
    fields: [
      { name: 'o2', at: 0 },
      { name: 'co', at: 1 },
    ],
  })
  const memory = Buffer.from('O2;CO\n')
  readLine(reader, memory)
  memory.write('8.1;9')
  expect(readLine(reader, memory).values).toEqual([8.1, 9])
})

test('a line of delimiters alone holds nothing', () => {
  expect(readLine(aReader(), ';;;;\n').refused).toBe('nothing_readable')
})

test('a thousand columns are read like two', () => {
  const reader = aReader({ fields: [{ name: 'last', at: 999 }] })
  expect(readLine(reader, `${Array.from({ length: 1000 }, (_, column) => column).join(';')}\n`).values).toEqual([999])
})
