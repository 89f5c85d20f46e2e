import { splitAndConvert } from './baselines.ts'
import { benchStation } from './bench-station.ts'
import type { EngineParts } from './compiled.ts'
import { type Form, longLog } from './long-log.ts'
import { throughEngine } from './speed.ts'

/** What each work costs a line, ns of processor time: the least of many passes, which a busy machine spoils least. */
export interface ProcessorTime {
  readonly recording: number
  readonly log: number
  readonly bare: number
}

const nanoseconds = (work: () => unknown, lines: number): number => {
  const before = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(before)
  return ((user + system) * 1000) / lines
}

/** The works in turn, `passes` times over `lines` lines at least. */
export function processorTime(parts: EngineParts, form: Form, lines: number, passes: number): ProcessorTime {
  const log = longLog(form, lines)
  const station = benchStation(parts, form)
  const least = {
    recording: Number.POSITIVE_INFINITY,
    log: Number.POSITIVE_INFINITY,
    bare: Number.POSITIVE_INFINITY,
  }
  const works: Record<keyof ProcessorTime, () => unknown> = {
    recording: () => throughEngine(parts, station, log, 'known'),
    log: () => throughEngine(parts, station, log, 'own'),
    bare: () => splitAndConvert(log),
  }
  for (let pass = 0; pass < passes; pass++)
    for (const name of Object.keys(works) as (keyof ProcessorTime)[])
      least[name] = Math.min(least[name], nanoseconds(works[name], log.lines))
  return least
}
