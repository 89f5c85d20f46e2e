import { expect, test } from 'vitest'
import { aReader, noon, readLine } from '../../support/line-reading.ts'

const timeOf = (format: string, text: string, settings: Record<string, unknown> = {}) => {
  const read = readLine(
    aReader({ fields: [{ name: 'o2', at: 1 }], time: { fields: [0], format, zone: 'UTC' }, ...settings }),
    `${text};8.1`,
  )
  return read.refused ?? read.time
}

test.each([
  ['2012-01-24T22:00:01', '2012-01-24T22:00:01.000Z'],
  ['2012-01-24 22:00:01', '2012-01-24T22:00:01.000Z'],
  ['2012-01-24T22:00', '2012-01-24T22:00:00.000Z'],
  ['2012-01-24T22:00:01.5', '2012-01-24T22:00:01.500Z'],
  ['2012-01-24T22:00:01,25', '2012-01-24T22:00:01.250Z'],
  ['2012-01-24T22:00:01.123456789', '2012-01-24T22:00:01.123Z'],
  ['2012-01-24T22:00:01Z', '2012-01-24T22:00:01.000Z'],
  ['2012-01-24T22:00:01+01:00', '2012-01-24T21:00:01.000Z'],
  ['2012-01-24T22:00:01.5-0330', '2012-01-25T01:30:01.500Z'],
  ['2012-01-24T22:00:01+05', '2012-01-24T17:00:01.000Z'],
  ['2012-02-29T00:00:00', '2012-02-29T00:00:00.000Z'],
  [' 2012-01-24T22:00:01 ', '2012-01-24T22:00:01.000Z'],
])('ISO 8601 “%s” is %s', (text, expected) => {
  expect(timeOf('iso', text)).toBe(expected)
})

test.each([
  '',
  'x',
  '2012-01-24',
  '22:00:01',
  '2012-13-01T00:00:00',
  '2011-02-29T00:00:00',
  '2012-04-31T00:00:00',
  '2012-01-24T24:00:00',
  '2012-01-24T22:60:00',
  '2012-01-24T22:00:61',
  '2012-01-24T22:00:01.',
  '2012-01-24T22:00:01+',
  '2012-01-24T22:00:01+1',
  '2012-01-24T22:00:01+99:00',
  '2012-01-24T22:00:01x',
  '2012-01-24T22:00:0',
  '20120124T220001',
  '0000-00-00T00:00:00',
  '----------T--:--:--',
])('“%s” is no time', (text) => {
  expect(timeOf('iso', text)).toBe('unreadable_time')
})

test.each([
  ['dd/MM/yyyy HH.mm.ss', '24/01/2012 22.00.01', '2012-01-24T22:00:01.000Z'],
  ['d.M.yyyy H:mm', '4.1.2012 9:05', '2012-01-04T09:05:00.000Z'],
  ['d.M.yyyy H:mm', '24.11.2012 19:05', '2012-11-24T19:05:00.000Z'],
  ['yyMMddHHmmss', '120124220001', '2012-01-24T22:00:01.000Z'],
  ['yyyy-MM-dd HH:mm:ss.SSS', '2012-01-24 22:00:01.5', '2012-01-24T22:00:01.500Z'],
  ["yyyy'y'MM'm'dd' at 'HH:mm", '2012y01m24 at 22:00', '2012-01-24T22:00:00.000Z'],
  ['MM/dd/yyyy hh:mm:ss a', '01/24/2012 12:00:01 AM', '2012-01-24T00:00:01.000Z'],
  ['M/d/yy h:mm a', '1/24/12 12:30 pm', '2012-01-24T12:30:00.000Z'],
  ['M/d/yy h:mm a', '1/24/12 1:30 PM', '2012-01-24T13:30:00.000Z'],
])('%s reads “%s”', (format, text, expected) => {
  expect(timeOf(format, text)).toBe(expected)
})

test.each([
  ['dd/MM/yyyy HH.mm', '4/01/2012 22.00'],
  ['dd/MM/yyyy HH.mm', '24/01/2012 22.00.01'],
  ['dd/MM/yyyy HH.mm', '24/01/2012 22.0'],
  ['hh:mm a', '13:00 PM'],
  ['hh:mm a', '00:10 AM'],
  ['hh:mm a', '01:00 xm'],
  ['HH:mm', '24:00'],
  ['yyyy-MM-dd HH', '2012-02-30 10'],
])('%s does not read “%s”', (format, text) => {
  expect(timeOf(format, text)).toBe('unreadable_time')
})

test.each([
  ['epoch-s', '1327442401', '2012-01-24T22:00:01.000Z'],
  ['epoch-s', '1327442401.25', '2012-01-24T22:00:01.250Z'],
  ['epoch-ms', '1327442401250', '2012-01-24T22:00:01.250Z'],
  ['epoch-s', '-5', 'unreadable_time'],
  ['epoch-ms', '1e30', 'unreadable_time'],
  ['epoch-s', 'now', 'unreadable_time'],
])('%s “%s” is %s', (format, text, expected) => {
  expect(timeOf(format, text)).toBe(expected)
})

test('epoch seconds have the profile’s decimal mark', () => {
  expect(timeOf('epoch-s', '1327442401,5', { decimal: ',', fields: [{ name: 'o2', at: 0 }] })).toBe(
    '2012-01-24T22:00:01.500Z',
  )
})

test('date and time of day may stand in two fields', () => {
  const reader = aReader({
    fields: [{ name: 'o2', at: 1 }],
    time: { fields: [2, 0], format: 'ddMMyy HHmmss.SSS', zone: 'UTC' },
  })
  expect(readLine(reader, '085411.250; 8.1; 240112 ').time).toBe('2012-01-24T08:54:11.250Z')
  expect(readLine(reader, '085411.250;8.1;').refused).toBe('unreadable_time')
})

test('a line whose time can’t be read is refused, whatever else it holds', () => {
  expect(
    readLine(aReader({ fields: [{ name: 'o2', at: 1 }], time: { fields: [0], format: 'iso' } }), 'yesterday;8.1')
      .refused,
  ).toBe('unreadable_time')
})

test('without a time in the profile the line has none', () => {
  expect(readLine(aReader(), '8.1;112', noon).time).toBeNull()
})
