import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inject } from 'vitest'
import { flueledger, type Outcome, until } from './built-command.ts'

export interface DemoRecording {
  readonly folder: string
  readonly recording: string
  remove(): void
}
type Settings = Record<string, unknown>

const paths = (folder: string) => ({
  log: join(folder, 'night.log'),
  station: join(folder, 'station.json'),
  recording: join(folder, 'night.flue.sqlite'),
})

/** So long is a night that is shared. */
const nightHours = 5
/** In the scenarios, behind a first line that tells that the data are invented. */
const linesPerHour = 3600

/**
 * Five hours of a scenario as a recording, made by the built command alone. `change`: of the station file that fits it; then
 * `hours` may be fewer.
 */
export async function demoRecording(
  scenario = 'calm-night',
  change?: (station: Settings) => Settings,
  hours = nightHours,
): Promise<DemoRecording> {
  const shared = await sharedNight(scenario)
  const folder = mkdtempSync(join(tmpdir(), 'explain-'))
  const { log, station, recording } = paths(folder)
  if (change) {
    const lines = readFileSync(paths(shared).log, 'latin1').split('\n')
    writeFileSync(log, `${lines.slice(0, 1 + hours * linesPerHour).join('\n')}\n`, 'latin1')
    writeFileSync(station, JSON.stringify(change(JSON.parse(readFileSync(paths(shared).station, 'utf8')) as Settings)))
    done(await flueledger('import', log, '--station', station, '--out', recording))
  } else cpSync(shared, folder, { recursive: true })
  return { folder, recording, remove: () => rmSync(folder, { recursive: true, force: true }) }
}

/** The scenario's lines, station file and recording: made by the first file of a run that asks, for all of them. */
async function sharedNight(scenario: string): Promise<string> {
  const folder = join(inject('sharedFolder'), scenario)
  const inTheMaking = `${folder}.making`
  try {
    mkdirSync(`${folder}.asked`) // Of several files that ask at once only one can.
  } catch {
    await until(`another file of tests has made the ${scenario}`, () => existsSync(folder))
    return folder
  }
  mkdirSync(inTheMaking)
  const { log, station, recording } = paths(inTheMaking)
  const simulate = ['simulate', '--scenario', scenario]
  writeFileSync(station, done(await flueledger(...simulate, '--station-file', '--to', 'tcp:4001')).out)
  done(await flueledger(...simulate, '--hours', String(nightHours), '--speed', 'fastest', '--to', `file:${log}`))
  done(await flueledger('import', log, '--station', station, '--out', recording))
  renameSync(inTheMaking, folder)
  return folder
}

function done(outcome: Outcome): Outcome {
  if (outcome.status !== 0) throw new Error(outcome.err)
  return outcome
}
