import { readStation } from '../engine/settings/read-station.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { Trouble } from '../trouble.ts'
import { pathText } from './settings-text.ts'

/** A station with other settings: `conversions.referenceOxygen=3`, `averaging.blocks=["PT1H"]`. Nothing stored changes. */
export function withChanges(station: StationFile, changes: readonly string[]): StationFile {
  if (changes.length === 0) return station
  const raw = structuredClone(station) as unknown as Record<string, unknown>
  for (const change of changes) {
    const [path, text] = [change.slice(0, change.indexOf('=')), change.slice(change.indexOf('=') + 1)]
    if (!change.includes('=') || path === '')
      throw new Trouble(`--set ${change}: is not path=value, as conversions.referenceOxygen=3`)
    put(raw, path.split('.'), settingOf(text), change)
  }
  const read = readStation(raw)
  if (read.ok) return read.station
  throw new Trouble(read.findings.map((finding) => `--set: ${pathText(finding.path)}: ${finding.message}`).join('\n'))
}

function settingOf(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    // Words need no quotes on a command line.
    return text
  }
}

function put(target: Record<string, unknown>, path: readonly string[], value: unknown, change: string): void {
  let at: unknown = target
  for (const key of path.slice(0, -1))
    at = typeof at === 'object' && at !== null ? (at as Record<string, unknown>)[key] : undefined
  const last = path.at(-1)
  if (
    typeof at !== 'object' ||
    at === null ||
    last === undefined ||
    ['__proto__', 'constructor', 'prototype'].includes(last)
  )
    throw new Trouble(`--set ${change}: there is no such place in the station’s settings`)
  ;(at as Record<string, unknown>)[last] = value
}
