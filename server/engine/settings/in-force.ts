import { isRecord, presetAt } from './regimes.ts'
import { type StationFile, stationShape } from './station-shape.ts'

/** Where a setting in force is from. `preset`: as the regime presets it; `built in`: as the tool has it where nobody says otherwise. */
export type SettingOrigin = 'preset' | 'built in' | 'station file'

/** Settings that rules differ about; what they are when nobody sets them. */
const defaults: Readonly<Record<string, unknown>> = stationShape.parse({
  format: 1,
  station: { name: '-' },
  streams: [{ id: 'main', source: { kind: 'tcp', host: '-', port: 1 }, profile: '-', expectEverySeconds: 1 }],
  channels: [{ id: 'any', unit: 'ppm' }],
})
/** Lists and ids of the station itself are always the file's. */
const alwaysTheFiles = new Set(['streams', 'channels', 'limits', 'station.name', 'format', 'regime'])

/**
 * Where the setting at `path` is from, told from its value: a file that says what the regime presets anyway is told as
 * the preset.
 */
export function originOf(station: StationFile, path: readonly string[]): SettingOrigin {
  if (alwaysTheFiles.has(path[0] ?? '') || alwaysTheFiles.has(path.join('.'))) return 'station file'
  const text = JSON.stringify(at(station, path))
  const preset = presetAt(station.regime, path)
  if (preset !== undefined) return JSON.stringify(preset) === text ? 'preset' : 'station file'
  return JSON.stringify(at(defaults, path)) === text ? 'built in' : 'station file'
}

function at(value: unknown, path: readonly string[]): unknown {
  let found = value
  for (const key of path)
    found = Array.isArray(found)
      ? found[Number(key)]
      : isRecord(found) && Object.hasOwn(found, key)
        ? found[key]
        : undefined
  return found
}
