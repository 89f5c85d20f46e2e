import { type Finding, type SettingPath, type Unsure, unread } from './findings.ts'
import { isRecord } from './regimes.ts'

const lists = ['streams', 'channels', 'limits'] as const
type List = (typeof lists)[number]
type Draft = Record<string, unknown>

const profile = { form: 'delimited', name: '?', fields: [{ name: '?', at: 0 }] }
/** What stands for a setting that must be there and could not be read. Anything else is left out. */
const needed: Readonly<Record<List, (place: number) => Draft>> = {
  streams: (place) => ({
    id: `${unread}-stream-${place}`,
    source: { kind: 'tcp', host: '?', port: 1 },
    profile,
    expectEverySeconds: 1,
  }),
  channels: (place) => ({ id: `${unread}-channel-${place}`, unit: 'ppm' }),
  limits: (place) => ({ id: `${unread}-limit-${place}`, channel: unread, of: 'reading', value: 0, unit: 'ppm' }),
}
/** Settings that others are held against: an entry without one of them is not held against anything. */
const telling: Readonly<Record<List, readonly string[]>> = {
  streams: ['source', 'profile', 'poll', 'timeFrom', 'dilution'],
  channels: ['species', 'quantity', 'unit', 'basis', 'stream', 'field', 'sumOf', 'referenceOxygen', 'origin'],
  limits: ['of', 'average', 'unit', 'basis', 'referenceOxygen'],
}
const neededAlone: Draft = {
  format: 1,
  regime: 'custom',
  station: { name: '?' },
  streams: [needed.streams(0)],
  channels: [needed.channels(0)],
}

/** The file with a stand-in for each part at fault, and what has one: so the rest can be checked in the same go. */
export function withStandIns(
  raw: unknown,
  findings: readonly Finding[],
): { readonly raw: unknown; readonly unsure: Unsure } {
  const unsure = {
    streams: new Set<number>(),
    channels: new Set<number>(),
    limits: new Set<number>(),
    settings: new Set<string>(),
  }
  if (!isRecord(raw)) return { raw, unsure }
  const draft: Draft = { ...raw }
  for (const { path } of findings) {
    const list = lists.find((name) => name === path[0])
    if (list && typeof path[1] === 'number') {
      if (path[2] === undefined || telling[list].includes(String(path[2]))) unsure[list].add(path[1])
      draft[list] = withEntry(draft[list], path[1], path[2], needed[list](path[1]))
    } else {
      if (list) unsure[list].add(0)
      unsure.settings.add(path.slice(0, 2).join('.'))
      replace(draft, path)
    }
  }
  return { raw: draft, unsure }
}

function withEntry(list: unknown, place: number, key: string | number | undefined, standIn: Draft): unknown {
  if (!Array.isArray(list)) return list
  return list.map((entry: unknown, at) => {
    if (at !== place) return entry
    if (!isRecord(entry) || typeof key !== 'string') return standIn
    const { [key]: _, ...rest } = entry
    return Object.hasOwn(standIn, key) ? { ...rest, [key]: standIn[key] } : rest
  })
}

/** A part with a fault inside loses the setting at fault; a part that is no object at all is left to its default. */
function replace(draft: Draft, [section, key]: SettingPath): void {
  if (typeof section !== 'string') return
  const part = draft[section]
  const standIn = neededAlone[section]
  if (!isRecord(part) || typeof key !== 'string') {
    if (standIn === undefined) delete draft[section]
    else draft[section] = standIn
    return
  }
  const { [key]: _, ...rest } = part
  draft[section] = { ...(isRecord(standIn) ? standIn : {}), ...rest }
}
