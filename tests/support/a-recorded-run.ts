import { engineVersion } from '../../server/engine/engine-version.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import type { RecordingWriter } from '../../server/recording/recording.ts'
import { createRecording } from '../../server/recording/recording-writer.ts'
import { RecordedRun } from '../../server/station/recorded-run.ts'
import { RunControl } from '../../server/station/run-control.ts'
import { aHeader } from './recording-content.ts'

interface Around {
  readonly now?: () => number
  readonly standby?: boolean
}

/** A recording in the making as the station makes it, without sources: inputs and time are told by hand. */
export async function aRecordedRun(path: string, station: StationFile, around: Around = {}): Promise<RecordedRun> {
  const { standby = false } = around
  const header = aHeader({ settings: JSON.stringify(station), engineVersion, origin: 'live', standby })
  return aRunWrittenBy(await createRecording(path, header), station, around)
}

/** The same with a writer that is there already, as of a recording that is resumed. */
export const aRunWrittenBy = (
  writer: RecordingWriter,
  station: StationFile,
  { now = () => 0, standby = false }: Around = {},
): RecordedRun =>
  new RecordedRun(
    station,
    writer,
    standby,
    {
      mode: 'live',
      invented: true,
      now,
      speed: () => 1,
      run: () => new RunControl(station.run, now).state(null),
      playback: () => null,
      warnings: () => [],
    },
    { warn: () => {}, renewed: () => {} },
  )
