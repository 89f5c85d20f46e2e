import type { Finding, SettingPath } from './findings.ts'
import { applyProposals, proposalAt } from './proposals.ts'
import { applyRegime, isRecord, presetAt } from './regimes.ts'
import { shapeFaults, valueAt } from './shape-faults.ts'
import { withStandIns } from './stand-ins.ts'
import { stationSchema } from './station-schema.ts'
import { stationShape } from './station-shape.ts'

/** A setting that a file leaves open: what holds in its place, and who says so. */
export interface OpenSetting {
  readonly path: SettingPath
  readonly value: unknown
  readonly from: 'preset' | 'built in' | 'line profile'
}

/**
 * What holds where the file says nothing, setting by setting; objects and lists of objects are told as a whole and inside too.
 *
 * raw: the file's value, profiles inline. Where the file is at fault nothing is told of the settings at fault; what
 * remains is told all the same, so that a half-written file can be asked about. A setting that neither the file nor
 * anybody else sets is not listed.
 */
export function openSettings(raw: unknown, already: readonly Finding[] = []): readonly OpenSetting[] {
  if (!isRecord(raw)) return []
  const complete = applyProposals(applyRegime(raw))
  const spared = withStandIns(complete, already).raw
  const first = stationShape.safeParse(spared)
  if (first.success) return left(raw, first.data, already)
  const faults = [...already, ...shapeFaults(first.error.issues, stationSchema(), spared)]
  const second = stationShape.safeParse(withStandIns(complete, faults).raw)
  return second.success ? left(raw, second.data, faults) : []
}

function left(raw: Readonly<Record<string, unknown>>, inForce: unknown, faults: readonly Finding[]): OpenSetting[] {
  const found: OpenSetting[] = []
  const isAtFault = (path: SettingPath): boolean =>
    faults.some((fault) => path.every((key, place) => fault.path[place] === key))
  const tell = (path: SettingPath, value: unknown): void => {
    if (value === undefined || isAtFault(path)) return
    found.push({ path, value, from: originOf(raw, path, value) })
    if (isRecord(value)) for (const [key, inside] of Object.entries(value)) tell([...path, key], inside)
    if (Array.isArray(value) && value.some(isRecord))
      for (const [place, entry] of value.entries()) tell([...path, place], entry)
  }
  const walk = (own: unknown, now: unknown, path: SettingPath): void => {
    if (Array.isArray(own) && Array.isArray(now)) {
      for (const [place, entry] of own.entries()) walk(entry, now[place], [...path, place])
      return
    }
    if (!isRecord(own) || !isRecord(now)) return
    for (const [key, value] of Object.entries(now))
      if (Object.hasOwn(own, key)) walk(own[key], value, [...path, key])
      else tell([...path, key], value)
  }
  walk(raw, inForce, [])
  return found
}

function originOf(raw: Readonly<Record<string, unknown>>, path: SettingPath, value: unknown): OpenSetting['from'] {
  if (path[0] === 'channels' && proposalAt(raw, path) !== undefined) return 'line profile'
  // A preset may have given way, as that of `corrections.bias` does: then its value is not the one in force.
  const isPreset = JSON.stringify(presetAt(String(raw['regime']), path.map(String))) === JSON.stringify(value)
  return isPreset && !hasOtherRule(raw, path) ? 'preset' : 'built in'
}

/** A rule that the file sets takes nothing from another rule's preset, even where both have the same figure. */
const hasOtherRule = (raw: Readonly<Record<string, unknown>>, path: SettingPath): boolean =>
  path.some((_, length) => {
    const along = path.slice(0, length)
    const own = valueAt(raw, [...along, 'rule'])
    return own !== undefined && own !== presetAt(String(raw['regime']), [...along, 'rule'].map(String))
  })
