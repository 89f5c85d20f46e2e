import type { LineProfile } from '../../protocols/instrument/profile.ts'

/** One place of a line: fixed text, a field by its place in the profile, or a piece of the time (0: the first field, 1: the second). */
export type Place =
  | { readonly text: string }
  | { readonly field: number; readonly width?: number }
  | { readonly time: number; readonly width?: number }
export interface Layout {
  readonly places: readonly Place[]
  /** The columns’ headings and units, where the form has them. */
  readonly headings: readonly string[] | null
  readonly units: readonly string[] | null
}

type Delimited = Extract<LineProfile, { form: 'delimited' }>
type FixedWidth = Extract<LineProfile, { form: 'fixed-width' }>
type KeyValue = Extract<LineProfile, { form: 'key-value' }>

const isNamed = (at: unknown): at is string => typeof at === 'string'

export const delimiterOf = (profile: Delimited): string => (profile.delimiter === '\\t' ? '\t' : profile.delimiter)

/** Columns with a number stand there; named ones fill the free columns in the order time, fields. */
function delimited(profile: Delimited): Layout {
  const columns: Place[] = []
  const headings: string[] = []
  const units: string[] = []
  const wanted = [
    ...(profile.time?.fields ?? []).map((at, index) => ({
      at,
      place: { time: index } satisfies Place,
      heading: isNamed(at) ? at : 'time',
      unit: '',
    })),
    ...profile.fields.map((field, index) => ({
      at: field.at,
      place: { field: index } satisfies Place,
      heading: isNamed(field.at) ? field.at : field.name,
      unit: field.unit ?? '',
    })),
  ]
  const put = (column: number, one: (typeof wanted)[number]): void => {
    columns[column] = one.place
    headings[column] = one.heading
    units[column] = one.unit
  }
  for (const one of wanted) if (typeof one.at === 'number') put(one.at, one)
  let free = 0
  for (const one of wanted) {
    if (!isNamed(one.at)) continue
    while (columns[free]) free++
    put(free, one)
  }
  const delimiter = { text: delimiterOf(profile) }
  const places = Array.from(columns, (place) => place ?? { text: '' }).flatMap((place, index) =>
    index === 0 ? [place] : [delimiter, place],
  )
  return {
    places,
    headings: profile.header ? Array.from(headings, (text) => text ?? '') : null,
    units: profile.header && profile.unitsRow ? Array.from(units, (text) => text ?? '') : null,
  }
}

function keyValue(profile: KeyValue): Layout {
  const pairs: [string, Place][] = [
    ...(profile.time?.fields ?? []).map((at, index): [string, Place] => [String(at), { time: index }]),
    ...profile.fields.map((field, index): [string, Place] => [String(field.at), { field: index }]),
  ]
  const places = pairs.flatMap(([key, place], index): Place[] => [
    { text: `${index === 0 ? '' : profile.between}${key}${profile.equals}` },
    place,
  ])
  return { places, headings: null, units: null }
}

function fixedWidth(profile: FixedWidth): Layout {
  const columns: { from: number; length: number; place: Place }[] = []
  const take = (at: unknown, place: { field: number } | { time: number }): void => {
    if (typeof at !== 'object' || at === null) return
    const { from, length } = at as { from: number; length: number }
    columns.push({ from, length, place: { ...place, width: length } })
  }
  for (const [index, at] of (profile.time?.fields ?? []).entries()) take(at, { time: index })
  for (const [index, field] of profile.fields.entries()) take(field.at, { field: index })
  columns.sort((a, b) => a.from - b.from)
  const places: Place[] = []
  let end = 0
  for (const { from, length, place } of columns) {
    if (from > end) places.push({ text: ' '.repeat(from - end) })
    places.push(place)
    end = from + length
  }
  return { places, headings: null, units: null }
}

/** `gas.o2` and `gas.co` share the object `gas`. */
function jsonLines(profile: LineProfile): Layout {
  interface Branch {
    [key: string]: Branch | Place
  }
  const root: Branch = {}
  const isPlace = (of: Branch | Place): of is Place =>
    ('field' in of && typeof of.field === 'number') || ('time' in of && typeof of.time === 'number')
  const put = (path: string, place: Place): void => {
    const keys = path.split('.')
    const leaf = keys.pop() ?? path
    let branch = root
    for (const key of keys) {
      const found = branch[key]
      const deeper: Branch = found && !isPlace(found) ? found : {}
      branch[key] = deeper
      branch = deeper
    }
    branch[leaf] = place
  }
  for (const [index, at] of (profile.time?.fields ?? []).entries()) put(String(at), { time: index })
  for (const [index, field] of profile.fields.entries()) put(String(field.at), { field: index })
  const write = (branch: Branch): Place[] => [
    { text: '{' },
    ...Object.entries(branch).flatMap(([key, of], index): Place[] => [
      { text: `${index === 0 ? '' : ','}${JSON.stringify(key)}:` },
      ...(isPlace(of) ? [of] : write(of)),
    ]),
    { text: '}' },
  ]
  return { places: write(root), headings: null, units: null }
}

/** The names in a template that are neither a field nor the time. */
export function unknownNames(profile: LineProfile, template: string): string[] {
  const known = new Set(['time', 'time2', ...profile.fields.map((field) => field.name)])
  return [...template.matchAll(/\{([^{}]*)\}/g)].map((found) => found[1] ?? '').filter((name) => !known.has(name))
}

function pattern(profile: LineProfile, template: string): Layout {
  const places = template
    .split(/(\{[^{}]*\})/)
    .filter((text) => text !== '')
    .map((text): Place => {
      const name = text.startsWith('{') ? text.slice(1, -1) : null
      if (name === 'time') return { time: 0 }
      if (name === 'time2') return { time: 1 }
      const index = profile.fields.findIndex((field) => field.name === name)
      return index < 0 ? { text } : { field: index }
    })
  return { places, headings: null, units: null }
}

/** Where everything stands in a line of this profile. template: for the form `pattern` alone. */
export function layoutOf(profile: LineProfile, template: string): Layout {
  switch (profile.form) {
    case 'delimited':
      return delimited(profile)
    case 'key-value':
      return keyValue(profile)
    case 'fixed-width':
      return fixedWidth(profile)
    case 'json-lines':
      return jsonLines(profile)
    case 'pattern':
      return pattern(profile, template)
  }
}
