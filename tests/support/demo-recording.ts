import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { flueledger } from './built-command.ts'

/** Five hours of the demo's scenario as a recording, made by the built command alone. */
export async function demoRecording(): Promise<{
  readonly folder: string
  readonly recording: string
  remove(): void
}> {
  const folder = mkdtempSync(join(tmpdir(), 'explain-'))
  const [log, station, recording] = ['night.log', 'station.json', 'night.flue.sqlite'].map((name) =>
    join(folder, name),
  ) as [string, string, string]
  writeFileSync(station, (await flueledger('simulate', '--station-file', '--to', 'tcp:4001')).out)
  await flueledger('simulate', '--hours', '5', '--speed', 'fastest', '--to', `file:${log}`)
  const { status, err } = await flueledger('import', log, '--station', station, '--out', recording)
  if (status !== 0) throw new Error(err)
  return { folder, recording, remove: () => rmSync(folder, { recursive: true, force: true }) }
}
