import { crossFaults } from './cross-checks.ts'
import { type Finding, nothingUnsure } from './findings.ts'
import { applyProposals } from './proposals.ts'
import { restOfProfile } from './read-profile.ts'
import { applyRegime } from './regimes.ts'
import { shapeFaults, valueAt } from './shape-faults.ts'
import { withStandIns } from './stand-ins.ts'
import { stationSchema } from './station-schema.ts'
import { type StationFile, stationShape } from './station-shape.ts'

export type StationRead =
  | { readonly ok: true; readonly station: StationFile; readonly findings: readonly [] }
  | { readonly ok: false; readonly findings: readonly Finding[] }

/**
 * What was written as a station: its regime's presets and its profiles' proposals filled in, then shape and cross-checks.
 *
 * raw: the file's value, profiles inline. `already`: parts that are at fault for another reason, as a profile that could
 * not be read; they are checked no further. All findings at once: where the shape is at fault, the rest is still checked.
 */
export function readStation(raw: unknown, already: readonly Finding[] = []): StationRead {
  return readFilledIn(applyProposals(applyRegime(raw)), already)
}

/**
 * Settings with nothing filled in, as those of a recording: what they leave open was not there when it was made, so that a
 * preset of a later version would give other numbers. Else as `readStation`.
 */
export function readFilledIn(complete: unknown, already: readonly Finding[] = []): StationRead {
  const spared = withStandIns(complete, already)
  const first = stationShape.safeParse(spared.raw)
  if (first.success) {
    const cross = crossFaults(first.data, already.length > 0 ? spared.unsure : nothingUnsure)
    const findings = [...already, ...cross]
    return findings.length > 0 ? { ok: false, findings } : { ok: true, station: first.data, findings: [] }
  }
  const shape = shapeFaults(first.error.issues, stationSchema(), spared.raw)
  const standIns = withStandIns(complete, [...already, ...shape])
  const second = stationShape.safeParse(standIns.raw)
  const cross = second.success ? crossFaults(second.data, standIns.unsure) : []
  return { ok: false, findings: [...already, ...shape, ...insideProfiles(spared.raw, shape), ...cross] }
}

/** What else is at fault in profiles whose shape is. */
function insideProfiles(raw: unknown, shape: readonly Finding[]): Finding[] {
  const inside = shape.filter(({ path }) => path[0] === 'streams' && path[2] === 'profile' && path.length > 3)
  return [...new Set(inside.map(({ path }) => path[1]))].flatMap((place) => {
    const own = inside.filter(({ path }) => path[1] === place)
    const at = own[0]?.path.slice(0, 3) ?? []
    const faults = own.map((fault) => ({ ...fault, path: fault.path.slice(3) }))
    return restOfProfile(valueAt(raw, at), faults).map((found) => ({ ...found, path: [...at, ...found.path] }))
  })
}
