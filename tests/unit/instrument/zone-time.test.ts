import { DateTime } from 'luxon'
import { expect, test } from 'vitest'
import { zoneTime } from '../../../protocols/instrument/zone-time.ts'

const quarterMs = 900_000
const daysOf2024 = Array.from({ length: 366 * 96 }, (_, quarter) => Date.UTC(2024, 0, 1) + quarter * quarterMs)

// Half-hour zones and a half-hour change are among them. Luxon is the witness.
test.each(['Europe/Berlin', 'America/St_Johns', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'Africa/Casablanca', 'UTC'])(
  'in %s every quarter of an hour of a year has the offset that luxon gives, and comes back from its local time',
  (name) => {
    const zone = zoneTime(name)
    const different = daysOf2024.filter(
      (utcMs) => zone?.offsetAt(utcMs) !== DateTime.fromMillis(utcMs, { zone: name }).offset * 60_000,
    )
    const notBack = daysOf2024.filter(
      (utcMs, index) => zone?.toUtc(zone.toLocal(utcMs), daysOf2024[index - 1] ?? Number.NaN) !== utcMs,
    )
    expect({ different, notBack }).toEqual({ different: [], notBack: [] })
  },
)

test('local times out of order, far apart, come back too', () => {
  const zone = zoneTime('Europe/Berlin')
  const instants = Array.from({ length: 500 }, (_, index) =>
    Date.UTC(2000 + (index % 60), (index * 7) % 12, 1 + ((index * 5) % 23), (index * 11) % 24),
  )
  expect(instants.map((utcMs) => zone?.toUtc(zone.toLocal(utcMs), Number.NaN))).toEqual(instants)
})

test.each(['Europe/Atlantis', '', '+25:00', '+1', 'station '])('“%s” is no zone', (name) => {
  expect(zoneTime(name)).toBeNull()
})
