import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { splitAndConvert } from './baselines.ts'
import { benchStation } from './bench-station.ts'
import type { Parts } from './compiled.ts'
import { type Form, longLog } from './long-log.ts'
import { throughEngine } from './speed.ts'

/** What each work costs a line, ns of processor time: the least of many passes, which a busy machine spoils least. */
export interface ProcessorTime {
  readonly recording: number
  readonly log: number
  /** The log from its file, as the command goes through it. */
  readonly file: number
  readonly bare: number
}

const nanoseconds = (work: () => unknown, lines: number): number => {
  const before = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(before)
  return ((user + system) * 1000) / lines
}

/** The works in turn, `passes` times over `lines` lines at least. */
export function processorTime(parts: Parts, form: Form, lines: number, passes: number): ProcessorTime {
  const log = longLog(form, lines)
  const folder = mkdtempSync(join(tmpdir(), 'processor-time-'))
  const path = join(folder, 'night.log')
  writeFileSync(path, log.bytes)
  const station = benchStation(parts, form)
  const least = {
    recording: Number.POSITIVE_INFINITY,
    log: Number.POSITIVE_INFINITY,
    file: Number.POSITIVE_INFINITY,
    bare: Number.POSITIVE_INFINITY,
  }
  const works: Record<keyof ProcessorTime, () => unknown> = {
    recording: () => throughEngine(parts, station, log, 'known'),
    log: () => throughEngine(parts, station, log, 'own'),
    file: () => throughFile(parts, station, path),
    bare: () => splitAndConvert(log),
  }
  for (let pass = 0; pass < passes; pass++)
    for (const name of Object.keys(works) as (keyof ProcessorTime)[])
      least[name] = Math.min(least[name], nanoseconds(works[name], log.lines))
  rmSync(folder, { recursive: true })
  return least
}

/** Returns how many outputs there were, so that no work can be left out. */
function throughFile({ drive, logEvents, logArrivals }: Parts, station: StationFile, path: string): number {
  let outputs = 0
  drive(
    station,
    (engine) => logEvents(station, path, logArrivals(station, path, engine)),
    (told) => {
      outputs += told.length
    },
  )
  return outputs
}
