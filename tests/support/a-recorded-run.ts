import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { engineVersion } from '../../server/engine/state.ts'
import { createRecording } from '../../server/recording/recording-writer.ts'
import { RecordedRun } from '../../server/station/recorded-run.ts'
import { aHeader } from './recording-content.ts'

/** A recording in the making as the station makes it, without sources: inputs and time are told by hand. */
export async function aRecordedRun(
  path: string,
  station: StationFile,
  { now = () => 0, standby = false }: { now?: () => number; standby?: boolean } = {},
): Promise<RecordedRun> {
  const header = aHeader({ settings: JSON.stringify(station), engineVersion, origin: 'live', standby })
  return new RecordedRun(
    station,
    await createRecording(path, header),
    standby,
    {
      mode: 'live',
      invented: true,
      now,
      speed: () => 1,
      run: () => {
        throw new Error('nobody asks for a snapshot here')
      },
      playback: () => null,
      warnings: () => [],
    },
    { warn: () => {}, renewed: () => {} },
  )
}
