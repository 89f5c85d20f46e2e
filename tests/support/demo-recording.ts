import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { flueledger } from './built-command.ts'

export interface DemoRecording {
  readonly folder: string
  readonly recording: string
  remove(): void
}

/** Five hours of a scenario as a recording, made by the built command alone. `change`: of the station file that fits it. */
export async function demoRecording(
  scenario = 'calm-night',
  change: (station: Record<string, unknown>) => Record<string, unknown> = (station) => station,
): Promise<DemoRecording> {
  const folder = mkdtempSync(join(tmpdir(), 'explain-'))
  const [log, station, recording] = ['night.log', 'station.json', 'night.flue.sqlite'].map((name) =>
    join(folder, name),
  ) as [string, string, string]
  const fits = (await flueledger('simulate', '--scenario', scenario, '--station-file', '--to', 'tcp:4001')).out
  writeFileSync(station, JSON.stringify(change(JSON.parse(fits) as Record<string, unknown>)))
  await flueledger('simulate', '--scenario', scenario, '--hours', '5', '--speed', 'fastest', '--to', `file:${log}`)
  const { status, err } = await flueledger('import', log, '--station', station, '--out', recording)
  if (status !== 0) throw new Error(err)
  return { folder, recording, remove: () => rmSync(folder, { recursive: true, force: true }) }
}
