import { type StationFile, type StationFileInput, stationFile } from '../../server/engine/settings/station-file.ts'

type Channel = StationFileInput['channels'][number]
type Rest = Partial<Omit<StationFileInput, 'channels'>>

/** A gas channel `id` of the stream `main`, whose field has the channel's name. */
export const aChannel = (id: string, more: Partial<Channel> = {}): Channel => ({
  id,
  stream: 'main',
  field: id,
  unit: 'ppm',
  ...more,
})

/** The sum of other gas channels, in ppm. */
export const aSum = (id: string, sumOf: string[], more: Partial<Channel> = {}): Channel => ({
  id,
  sumOf,
  unit: 'ppm',
  ...more,
})

/** A valid station with these channels; its profile has a field for each. Throws with all faults where it is not valid. */
export function aStation(channels: readonly Channel[], rest: Rest = {}): StationFile {
  return stationFile.parse(aStationFile(channels, rest))
}

/** The same, as it stands in a file. */
export function aStationFile(channels: readonly Channel[], rest: Rest = {}): StationFileInput {
  const fields = channels.filter(({ field }) => field !== undefined).map(({ field = '' }, at) => ({ name: field, at }))
  return {
    format: 1,
    station: { name: 'Boiler house', timeZone: 'Europe/Vienna' },
    streams: [
      {
        id: 'main',
        source: { kind: 'tcp', host: '127.0.0.1', port: 4000 },
        profile: { form: 'delimited', name: 'plain', fields },
        expectEverySeconds: 1,
      },
    ],
    ...rest,
    channels: [...channels],
  }
}
