import type { Cell } from './table.ts'

/** Settings as a list of places and values: `channels[0].unit` → `ppm`. Empty lists and objects are told as such. */
export function settingsRows(settings: unknown, path = ''): (readonly [path: string, value: Cell])[] {
  if (Array.isArray(settings)) {
    return settings.length === 0
      ? [[path, '(none)']]
      : settings.flatMap((value: unknown, place) => settingsRows(value, `${path}[${place}]`))
  }
  if (typeof settings === 'object' && settings !== null) {
    const entries = Object.entries(settings)
    return entries.length === 0
      ? [[path, '(none)']]
      : entries.flatMap(([key, value]) => settingsRows(value, path ? `${path}.${key}` : key))
  }
  return [
    [
      path,
      typeof settings === 'string' || typeof settings === 'number' || typeof settings === 'boolean' ? settings : null,
    ],
  ]
}
