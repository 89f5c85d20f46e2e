import type { StationFile } from '../../server/engine/settings/station-file.ts'
import type { Parts } from './compiled.ts'
import type { Form } from './long-log.ts'

const channel = (id: string, species: string, unit: string, range: [number, number]) => ({
  id,
  stream: 'main',
  field: id,
  species,
  unit,
  range,
  t95Seconds: 30,
})

/**
 * A station for the open night: three gases with zero from the purges, half-hour and hour blocks, four-hour rolling means,
 * mg/m3 at 13 % oxygen, one limit on readings. In the form without a status word the phase comes from a schedule.
 */
export function benchStation(
  { stationOf, readSettingsText }: Parts,
  form: Form,
  source: object = { kind: 'tcp', host: '127.0.0.1', port: 4001 },
  timeFrom: 'line' | 'arrival' = 'line',
): StationFile {
  const loaded = stationOf(
    readSettingsText(
      'bench',
      JSON.stringify({
        format: 1,
        regime: 'eu',
        station: { name: 'Open night', timeZone: 'UTC' },
        streams: [
          {
            id: 'main',
            source,
            profile: form === 'kv' ? 'air-burn-cycles-named' : 'air-burn-cycles-columns',
            expectEverySeconds: 1,
            timeFrom,
          },
        ],
        channels: [
          channel('o2', 'O2', 'vol%', [0, 25]),
          channel('co2', 'CO2', 'vol%', [0, 20]),
          channel('co', 'CO', 'ppm', [0, 4000]),
          { id: 'flow', stream: 'main', field: 'flow', quantity: 'flow', unit: 'kg/s' },
        ],
        phases:
          form === 'kv'
            ? { from: ['status'] }
            : {
                from: ['schedule'],
                schedule: [
                  { phase: 'measure', everyMinutes: 60, offsetMinutes: 5, lengthSeconds: 3300 },
                  { phase: 'purge', everyMinutes: 60, lengthSeconds: 300 },
                ],
              },
        corrections: { zero: 'last' },
        conversions: { referenceOxygen: 13 },
        averaging: { blocks: ['PT30M', 'PT1H'], rolling: ['PT4H'] },
        limits: [{ channel: 'co', of: 'reading', value: 500, unit: 'ppm', priority: 'high' }],
      }),
    ),
    process.cwd(),
  )
  if (!loaded.ok) throw new Error(loaded.faults.map(({ path, message }) => `${path}: ${message}`).join('\n'))
  return loaded.station
}
