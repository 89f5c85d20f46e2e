import { expect, test } from 'vitest'
import { writtenProfile } from '../../../simulator/instrument/profile.ts'
import { type LineWriterOptions, lineWriter, type Written } from '../../../simulator/lines/line-writer.ts'
import { timeText } from '../../../simulator/lines/time-text.ts'

const at = Date.UTC(2026, 10, 20, 18, 5, 9)
const gas = [
  { name: 'o2', at: 1 },
  { name: 'co', at: 2 },
  { name: 'state', at: 3 },
]
const wrote = (profile: object, values: Written[], options: Partial<LineWriterOptions> = {}): string =>
  lineWriter(writtenProfile.parse({ name: 'x', fields: gas, ...profile }), {
    stationZone: 'Europe/Berlin',
    lineEnd: 'crlf',
    decimals: [2, 1, 0],
    ...options,
  })
    .line(values, at)
    .toString('latin1')

test('a delimited line has its columns where the profile says, and its time first', () => {
  const line = wrote({ form: 'delimited', time: { fields: [0], format: 'iso', zone: 'UTC' } }, [4.2, 112.04, 'RUN'])
  expect(line).toBe('2026-11-20T18:05:09Z;4.20;112.0;RUN\r\n')
})

test('columns that nobody asks for stay empty', () => {
  const fields = [
    { name: 'o2', at: 0 },
    { name: 'co', at: 3 },
  ]
  expect(wrote({ form: 'delimited', fields }, [4.2, 112])).toBe('4.20;;;112.0\r\n')
})

test('a decimal comma in a comma-separated line is quoted', () => {
  const line = wrote(
    {
      form: 'delimited',
      delimiter: ',',
      decimal: ',',
      fields: [
        { name: 'o2', at: 0 },
        { name: 'co', at: 1 },
      ],
    },
    [4.2, 7],
  )
  expect(line).toBe('"4,20","7,0"\r\n')
})

test('a delimited file opens with its titles, headings and units', () => {
  const writer = lineWriter(
    writtenProfile.parse({
      form: 'delimited',
      name: 'x',
      delimiter: '\\t',
      header: true,
      unitsRow: true,
      skipLines: 1,
      time: { fields: ['clock'], format: 'epoch-s' },
      fields: [
        { name: 'o2', at: 'O2', unit: 'vol%' },
        { name: 'co', at: 'CO', unit: 'ppm' },
      ],
    }),
    { stationZone: 'UTC', lineEnd: 'lf', decimals: [1, 0] },
  )
  expect(writer.opening.map(String)).toEqual(['invented data 1\n', 'clock\tO2\tCO\n', '\tvol%\tppm\n'])
  expect(writer.line([4, 5], at).toString()).toBe('1795197909\t4.0\t5\n')
})

test('a key-value line names each value and carries its unit', () => {
  const fields = [
    { name: 'o2', at: 'O2', unitSuffix: '%' },
    { name: 'co', at: 'CO', unitSuffix: 'ppm' },
    { name: 'state', at: 'S' },
  ]
  const line = wrote(
    {
      form: 'key-value',
      between: ' ',
      equals: ':',
      fields,
      time: { fields: ['D', 'T'], format: 'dd.MM.yyyy HH:mm:ss', zone: 'station' },
    },
    [4.2, 112, 'RUN'],
  )
  expect(line).toBe('D:20.11.2026 T:19:05:09 O2:4.20% CO:112.0ppm S:RUN\r\n')
})

test('a fixed-width line is flush right in its columns, and a number too wide becomes asterisks', () => {
  const fields = [
    { name: 'o2', at: { from: 9, length: 6 } },
    { name: 'co', at: { from: 17, length: 5 } },
  ]
  const profile = {
    form: 'fixed-width',
    fields,
    time: { fields: [{ from: 0, length: 8 }], format: 'HH:mm:ss', zone: 'UTC' },
  }
  expect(wrote(profile, [4.2, 112])).toBe('18:05:09   4.20  112.0\r\n')
  expect(wrote(profile, [4.2, 12_345])).toBe('18:05:09   4.20  *****\r\n')
})

test('a JSON line nests what the paths nest and keeps numbers as numbers', () => {
  const fields = [
    { name: 'o2', at: 'gas.o2' },
    { name: 'co', at: 'gas.co' },
    { name: 'state', at: 'state' },
  ]
  const line = wrote(
    { form: 'json-lines', fields, over: ['over'], time: { fields: ['t'], format: 'iso', zone: '+01:00' } },
    [4.2, 'over', null],
  )
  expect(line).toBe('{"t":"2026-11-20T19:05:09+01:00","gas":{"o2":4.20,"co":"over"},"state":null}\r\n')
})

test('a pattern’s line is written from its template', () => {
  const fields = gas.map((field) => ({ ...field, at: field.name }))
  const line = wrote(
    { form: 'pattern', pattern: '.*', fields, time: { fields: ['time'], format: "HH'h'mm", zone: 'UTC' } },
    [4.2, 112, 'RUN'],
    { template: '[{time}] O2 {o2} % CO {co} ppm <{state}>' },
  )
  expect(line).toBe('[18h05] O2 4.20 % CO 112.0 ppm <RUN>\r\n')
})

test('a value that is missing is written as the profile’s token', () => {
  expect(
    wrote(
      {
        form: 'delimited',
        missing: ['', '----'],
        fields: [
          { name: 'o2', at: 0 },
          { name: 'co', at: 1 },
        ],
      },
      [null, 5],
    ),
  ).toBe('----;5.0\r\n')
})

test.each([
  // Published: the NMEA 0183 example sentence $GPGLL,…*28 (in many manuals). MODBUS CRC of "123456789" is 4B37 (catalogues of CRCs). Sum of "123456789" is 0x1DD.
  {
    kind: 'xor8-hex',
    start: '$',
    body: 'GPGLL,5300.97914,N,00259.98174,E,125926,A',
    expected: '$GPGLL,5300.97914,N,00259.98174,E,125926,A*28\r\n',
  },
  { kind: 'crc16-modbus-hex', start: '', body: '123456789', expected: '123456789*4B37\r\n' },
  { kind: 'sum8-hex', start: '', body: '123456789', expected: '123456789*DD\r\n' },
])('the checksum $kind of a known line is the published one', ({ kind, start, body, expected }) => {
  expect(wrote({ form: 'pattern', pattern: '.*', checksum: { kind, start } }, [], { template: body })).toBe(expected)
})

test.each([
  { format: 'iso', zone: 'UTC', ms: at + 250, expected: '2026-11-20T18:05:09.250Z' },
  { format: 'iso', zone: 'America/St_Johns', ms: at, expected: '2026-11-20T14:35:09-03:30' }, // winter time, UTC − 3:30
  { format: 'iso', zone: 'Europe/Berlin', ms: Date.UTC(2026, 9, 25, 0, 59, 59), expected: '2026-10-25T02:59:59+02:00' }, // the last second of summer time
  { format: 'iso', zone: 'Europe/Berlin', ms: Date.UTC(2026, 9, 25, 1, 0, 0), expected: '2026-10-25T02:00:00+01:00' },
  { format: 'epoch-ms', zone: 'UTC', ms: 1_700_000_000_123, expected: '1700000000123' },
  {
    format: 'd/M/yyyy H:mm:ss.SSS',
    zone: 'UTC',
    ms: Date.UTC(2026, 0, 2, 3, 4, 5, 6),
    expected: '2/1/2026 3:04:05.006',
  },
  { format: "yyyy-MM-dd'T'HH:mm:ss", zone: '-05:00', ms: at, expected: '2026-11-20T13:05:09' },
])('$format in $zone reads $expected', ({ format, zone, ms, expected }) => {
  expect(timeText(format, zone)(ms)).toBe(expected)
})
