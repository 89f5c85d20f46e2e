import { readFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { isRecord } from '../engine/settings/regimes.ts'
import { whyUnreadable } from '../file-trouble.ts'
import { stationOf } from '../station/load-station-file.ts'
import { profileFaults } from '../station/profile-files.ts'
import { type Fault, readSettingsText } from '../station/settings-text.ts'
import { scenarioFaults } from './scenario-faults.ts'

export interface Validation {
  readonly kind: 'station file' | 'line profile'
  readonly faults: readonly Fault[]
  readonly warnings: readonly Fault[]
}

/** Checks a station file or a line profile, told apart by what they hold: a profile has a `form` and no streams. */
export function validate(path: string): Validation {
  let content: string
  try {
    content = readFileSync(path, 'utf8')
  } catch (error) {
    const message = `cannot be read: ${whyUnreadable(error)}`
    return { kind: 'station file', faults: [{ file: path, line: 1, column: 1, path: '', message }], warnings: [] }
  }
  const text = readSettingsText(path, content)
  if (isRecord(text.value) && !('streams' in text.value) && 'form' in text.value)
    return { kind: 'line profile', faults: profileFaults(text), warnings: [] }
  const loaded = stationOf(text, dirname(path))
  const faults = [...(loaded.ok ? [] : loaded.faults), ...scenarioFaults(text)]
  return { kind: 'station file', faults, warnings: loaded.ok ? loaded.warnings : [] }
}

/** All faults of a station file or a line profile. */
export const validateFile = (path: string): readonly Fault[] => validate(path).faults

/** `night.json:12:14: channels[3].unit: "bar" does not fit CO; use …` */
export const faultLine = ({ file, line, column, path, message }: Fault): string =>
  `${file}:${line}:${column}: ${path ? `${path}: ` : ''}${message}`
