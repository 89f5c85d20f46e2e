import { z } from 'zod'
import { checkProfile, type StoodFor } from '../../../protocols/instrument/check-profile.ts'
import { lineForms } from '../../../protocols/instrument/forms.ts'
import { type LineProfile, lineProfile } from '../../../protocols/instrument/profile.ts'
import type { Finding, SettingPath } from './findings.ts'
import { withoutFaults } from './profile-stand-ins.ts'
import { isRecord } from './regimes.ts'
import { shapeFaults } from './shape-faults.ts'

export type ProfileRead =
  | { readonly ok: true; readonly profile: LineProfile }
  | { readonly ok: false; readonly findings: readonly Finding[] }

/** What was written as a line profile. All findings at once: where its shape is at fault, the rest is still checked. */
export function readProfile(raw: unknown): ProfileRead {
  const read = lineProfile.safeParse(raw)
  if (read.success) {
    const findings = profileFindings(read.data)
    return findings.length > 0 ? { ok: false, findings } : { ok: true, profile: read.data }
  }
  const shape = shapeFaults(read.error.issues, z.toJSONSchema(lineProfile, { io: 'input' }), raw)
  return { ok: false, findings: [...shape, ...restOfProfile(raw, shape)] }
}

/** Whether the parts of a profile fit each other, as far as that can be said beside `faults` of its shape. */
export function restOfProfile(raw: unknown, faults: readonly Finding[]): Finding[] {
  const rest = isRecord(raw) ? withoutFaults(raw, faults) : null
  if (rest === null) return []
  const read = lineProfile.safeParse(rest.raw)
  return read.success ? profileFindings(read.data, rest) : []
}

/** Whether the parts of a profile fit each other. */
export const profileFindings = (profile: LineProfile, stoodFor?: StoodFor): Finding[] =>
  checkProfile(profile, lineForms, stoodFor).map(({ path, message }) => ({ path: keysOf(path), message }))

/** `fields[2].at` → ['fields', 2, 'at']. */
const keysOf = (text: string): SettingPath =>
  [...text.matchAll(/[^.[\]]+/g)].map(([key]) => (/^\d+$/.test(key) ? Number(key) : key))
