export type Key = string | number
export type Path = readonly Key[]
export type Settings = Record<string, unknown>

export const isRecord = (value: unknown): value is Settings =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** `channels[3].unit`, as the station tells where a fault is. */
export const pathText = (path: Path): string =>
  path.map((key, at) => (typeof key === 'number' ? `[${key}]` : at === 0 ? key : `.${key}`)).join('')

export const pathOf = (text: string): Path =>
  (text.match(/[^.[\]]+/g) ?? []).map((key) => (/^\d+$/.test(key) ? Number(key) : key))

/** `channels`, `channels[3]`, `channels[3].unit`: a path’s text, and all that it lies in, from the outside. */
export function pathsAlong(text: string): readonly string[] {
  const ends = [...text.matchAll(/\.|\[/g)].map(({ index }) => index).filter((at) => at > 0)
  return [...ends.map((end) => text.slice(0, end)), text]
}
export const liesIn = (inner: string, outer: string): boolean => inner === outer || pathsAlong(inner).includes(outer)

export function valueAt(root: unknown, path: Path): unknown {
  let value = root
  for (const key of path) {
    if (typeof key === 'number' ? !Array.isArray(value) : !isRecord(value) || !Object.hasOwn(value, key))
      return undefined
    value = (value as Record<Key, unknown>)[key]
  }
  return value
}

/**
 * `root` with `value` at `path`, everything else as it was and where it was; the objects on the way are made.
 * undefined takes the setting out, and with it the objects that it leaves empty; entries of lists stay, and so do lists.
 */
export function withValue(root: unknown, path: Path, value: unknown): unknown {
  const [key, ...rest] = path
  if (key === undefined) return value
  if (typeof key === 'number') {
    const list = Array.isArray(root) ? [...root] : []
    if (value === undefined && rest.length === 0) list.splice(key, 1)
    else list[key] = withValue(list[key], rest, value) ?? {}
    return list
  }
  const own = isRecord(root) ? root : {}
  const inside = withValue(Object.hasOwn(own, key) ? own[key] : undefined, rest, value)
  const isLeftEmpty = value === undefined && rest.length > 0 && isRecord(inside) && Object.keys(inside).length === 0
  if (inside !== undefined && !isLeftEmpty)
    return Object.hasOwn(own, key)
      ? Object.fromEntries(Object.entries(own).map(([name, one]) => [name, name === key ? inside : one]))
      : { ...own, [key]: inside }
  return Object.fromEntries(Object.entries(own).filter(([name]) => name !== key))
}
