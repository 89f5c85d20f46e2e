import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const profile = (format: string, zone = 'station') => ({
  fields: [{ name: 'o2', at: 1 }],
  time: { fields: [0], format, zone },
})
/** Lines one after the other: text and time of arrival. */
const times = (format: string, stationZone: string, lines: readonly (readonly [string, string])[]) => {
  const reader = aReader(profile(format), stationZone)
  return lines.map(([text, arrival]) => readLine(reader, `${text};8.1`, Date.parse(arrival)).time)
}

test('a time of day takes the date of its arrival, then rolls over at midnight', () => {
  expect(
    times('HH:mm:ss', 'UTC', [
      ['23:59:58', '2024-03-05T23:59:59Z'],
      ['23:59:59', '2024-03-06T00:00:00Z'],
      ['00:00:00', '2024-03-06T00:00:01Z'],
    ]),
  ).toEqual(['2024-03-05T23:59:58.000Z', '2024-03-05T23:59:59.000Z', '2024-03-06T00:00:00.000Z'])
})

test('the date is that of the station’s zone', () => {
  expect(times('HH:mm:ss', 'Asia/Tokyo', [['07:00:00', '2024-03-05T22:00:00Z']])).toEqual(['2024-03-05T22:00:00.000Z'])
})

test('the first line, stamped before midnight and come after it, belongs to the day before', () => {
  expect(times('HH:mm:ss', 'UTC', [['23:59:59', '2024-03-06T00:00:02Z']])).toEqual(['2024-03-05T23:59:59.000Z'])
})

test('a small step back is no midnight, not even across midnight', () => {
  const arrival = '2024-03-05T12:00:00Z'
  expect(
    times('HH:mm:ss', 'UTC', [
      ['12:00:05', arrival],
      ['12:00:03', arrival],
    ])[1],
  ).toBe('2024-03-05T12:00:03.000Z')
  expect(
    times('HH:mm:ss', 'UTC', [
      ['00:00:01', '2024-03-06T00:00:01Z'],
      ['23:59:59', '2024-03-06T00:00:02Z'],
    ])[1],
  ).toBe('2024-03-05T23:59:59.000Z')
})

test('a log that is read all at once passes several midnights', () => {
  const arrival = '2024-03-05T10:00:00Z'
  const seen = times('HH:mm', 'UTC', [
    ['10:00', arrival],
    ['20:00', arrival],
    ['06:00', arrival],
    ['16:00', arrival],
    ['02:00', arrival],
  ])
  expect(seen.map((time) => time?.slice(8, 16))).toEqual(['05T10:00', '05T20:00', '06T06:00', '06T16:00', '07T02:00'])
})

test('after a gap of more than a day the arrival tells how many midnights have passed', () => {
  expect(
    times('HH:mm:ss', 'UTC', [
      ['10:00:00', '2024-03-05T10:00:00Z'],
      ['09:00:00', '2024-03-08T09:00:00Z'],
    ])[1],
  ).toBe('2024-03-08T09:00:00.000Z')
})

test('a line that is refused does not move the date', () => {
  const reader = aReader(profile('HH:mm:ss'))
  const seen = ['10:00:00;8.1', '21:30:00;x', '20:00:00;x', '08:59:00;8.1'].map(
    (line) => readLine(reader, line, Date.parse('2024-03-05T10:00:00Z')).time,
  )
  expect(seen).toEqual(['2024-03-05T10:00:00.000Z', null, null, '2024-03-05T08:59:00.000Z'])
})

test('a reader that is reset takes the date from the arrival again', () => {
  const reader = aReader(profile('HH:mm:ss'))
  readLine(reader, '10:00:00;8.1', Date.parse('2024-03-05T10:00:00Z'))
  reader.reset()
  expect(readLine(reader, '10:00:00;8.1', Date.parse('2024-01-01T10:00:00Z')).time).toBe('2024-01-01T10:00:00.000Z')
})

// In Europe clocks go back on the last Sunday of October at 01:00 UTC (Directive 2000/84/EC, article 3), in 2024 on the 27th.
const october = '2024-10-27T00:00:00Z'
test('the hour that comes twice is the first one until time would go back, then the second', () => {
  const seen = times(
    'iso',
    'Europe/Berlin',
    ['01:59:00', '02:00:00', '02:59:00', '02:00:00', '02:30:00', '02:59:00', '03:00:00'].map(
      (time) => [`2024-10-27T${time}`, october] as const,
    ),
  )
  expect(seen.map((time) => time?.slice(11, 16))).toEqual([
    '23:59',
    '00:00',
    '00:59',
    '01:00',
    '01:30',
    '01:59',
    '02:00',
  ])
})

test('two lines that changed places in the first of the two hours do not make it the second', () => {
  const seen = times(
    'iso',
    'Europe/Berlin',
    ['02:30:05', '02:30:04', '02:30:06'].map((time) => [`2024-10-27T${time}`, october] as const),
  )
  expect(seen.map((time) => time?.slice(11, 19))).toEqual(['00:30:05', '00:30:04', '00:30:06'])
})

test('a run that starts in the hour that comes twice starts in the first', () => {
  expect(times('iso', 'Europe/Berlin', [['2024-10-27T02:30:00', october]])).toEqual(['2024-10-27T00:30:00.000Z'])
})

test('times of day pass the change as well', () => {
  const seen = times('HH:mm', 'Europe/Berlin', [
    ['02:50', '2024-10-27T00:50:00Z'],
    ['02:05', '2024-10-27T01:05:00Z'],
    ['03:05', '2024-10-27T02:05:00Z'],
  ])
  expect(seen).toEqual(['2024-10-27T00:50:00.000Z', '2024-10-27T01:05:00.000Z', '2024-10-27T02:05:00.000Z'])
})

test('an hour that never comes is read as if the clock had not been put forward', () => {
  expect(
    times('iso', 'Europe/Berlin', [
      ['2024-03-31T01:59:00', october],
      ['2024-03-31T02:30:00', october],
      ['2024-03-31T03:30:00', october],
    ]),
  ).toEqual(['2024-03-31T00:59:00.000Z', '2024-03-31T01:30:00.000Z', '2024-03-31T01:30:00.000Z'])
})

test.each([
  ['UTC', '22:00'],
  ['station', '16:30'],
  ['+01:00', '21:00'],
  ['-03:30', '01:30'],
  ['America/New_York', '03:00'],
  ['Asia/Kathmandu', '16:15'],
])('22:00 in the zone %s is %s UTC', (zone, expected) => {
  expect(readLine(aReader(profile('iso', zone), 'Asia/Kolkata'), '2024-01-24T22:00:00;8.1').time?.slice(11, 16)).toBe(
    expected,
  )
})

test('a time with its own offset needs no zone', () => {
  expect(readLine(aReader(profile('iso', 'America/New_York')), '2024-01-24T22:00:00Z;8.1').time).toBe(
    '2024-01-24T22:00:00.000Z',
  )
})
