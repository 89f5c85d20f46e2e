import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { StationFileInput } from '../../server/engine/settings/station-file.ts'
import { importLogTo } from '../../server/station/import-log.ts'
import { aNightStation, gas, lineText, minute, ten } from './engine-night.ts'

/** Two hours from 10:00 UTC, a line every ten seconds: CO 40 ppm, O2 11 %; from 10:20 to 10:25 the hose was off, CO 400 ppm and O2 20.8 %. */
export async function aRecordedNight(folder: string, differs: Partial<Omit<StationFileInput, 'streams'>> = {}) {
  const path = join(folder, 'night.flue.sqlite')
  const station = aNightStation({
    channels: [gas('co'), gas('o2')],
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    averaging: { blocks: ['PT1M', 'PT30M'], rolling: ['PT1H'] },
    stream: { timeFrom: 'line', expectEverySeconds: 10 },
    ...differs,
  })
  const lines = Array.from({ length: 720 }, (_, number) => {
    const at = ten + number * 10_000
    const isOff = at >= ten + 20 * minute && at < ten + 25 * minute
    return lineText(at, { mode: 'S', co: isOff ? 400 : 40, o2: isOff ? 20.8 : 11 })
  })
  const log = join(folder, 'night.log')
  writeFileSync(log, `${lines.join('\n')}\n`)
  await importLogTo(log, station, JSON.stringify(station), path)
  return { path, station }
}
