import type { AlarmBook } from '../../server/engine/alarms/book.ts'
import { type StationFile, type StationFileInput, stationFile } from '../../server/engine/settings/station-file.ts'

type Limit = NonNullable<StationFileInput['limits']>[number]

/** A limit of 50 ppm CO on each reading, without delays, unless told otherwise. */
export const aLimit = (differs: Partial<Limit> = {}): Limit => ({
  id: 'co',
  channel: 'co',
  of: 'reading',
  value: 50,
  unit: 'ppm',
  ...differs,
})

/** A station with one stream `main` (a line each 10 s) and one channel `co`. */
export const stationWith = (differs: Partial<StationFileInput> = {}): StationFile =>
  stationFile.parse({
    format: 1,
    station: { name: 'Test duct' },
    streams: [
      {
        id: 'main',
        source: { kind: 'tcp', host: '127.0.0.1', port: 4001 },
        expectEverySeconds: 10,
        profile: { form: 'delimited', name: 'invented', fields: [{ name: 'co', at: 0, unit: 'ppm' }] },
      },
    ],
    channels: [{ id: 'co', stream: 'main', field: 'co', species: 'CO', unit: 'ppm' }],
    ...differs,
  })

/** The transitions since the last look, as `70 normal>raised`, times in seconds. */
export const told = (book: AlarmBook): string[] =>
  book.take().map(({ atMs, from, to }) => `${atMs / 1000} ${from}>${to}`)

/** The state of an alarm as the lists show it; `normal` when it is in none. */
export const stateOf = (book: AlarmBook, id: string): string =>
  book.standing().find(({ alarm }) => alarm === id)?.state ?? 'normal'
