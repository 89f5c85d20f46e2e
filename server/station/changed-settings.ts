import { calendarDay } from '../../protocols/words/time.ts'
import { readFilledIn } from '../engine/settings/read-station.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { Trouble } from '../trouble.ts'
import { pathText } from './settings-text.ts'

/** Settings to try, by their paths: `conversions.referenceOxygen`, `limits.co-half-hour.value`, `limits.0.value`. */
export type SettingChanges = Readonly<Record<string, unknown>>

export interface ChangedStation {
  readonly station: StationFile
  readonly changes: readonly { readonly path: string; readonly from: unknown; readonly to: unknown }[]
  /** What followed from the changes. */
  readonly notes: readonly string[]
}

/** `path=value` as on a command line; words need no quotes. */
export function settingChanges(texts: readonly string[]): SettingChanges {
  return Object.fromEntries(
    texts.map((text) => {
      const at = text.indexOf('=')
      if (at < 1) throw new Trouble(`--set ${text}: is not path=value, as conversions.referenceOxygen=3`)
      return [text.slice(0, at), settingOf(text.slice(at + 1))]
    }),
  )
}

function settingOf(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    // Words need no quotes on a command line.
    return text
  }
}

/**
 * A station with other settings; nothing stored changes. What rests on a changed setting follows, and is noted: limits at the
 * station's reference oxygen go with it, limits of averages that are no longer formed are left out. A `Trouble` names the
 * setting and what is allowed.
 */
export function withChanges(station: StationFile, set: SettingChanges): ChangedStation {
  const raw = structuredClone(station) as unknown as Raw
  const changes = Object.entries(set).map(([path, to]) => {
    const place = placeOf(raw, path)
    const from = place.holder[place.key]
    place.holder[place.key] = to
    return { path, from: from ?? null, to }
  })
  const notes = [
    ...referenceFollows(station, raw, set),
    ...averagesLeftOut(raw, set),
    ...limitsLeftOut(station, raw, set),
  ]
  if ('regime' in set)
    notes.push('regime: presets fill only what the settings do not say, and those of a recording say everything')
  const read = readFilledIn(raw)
  if (read.ok) return { station: read.station, changes, notes }
  throw new Trouble(read.findings.map((finding) => `${pathText(finding.path)}: ${finding.message}`).join('\n'))
}

type Raw = Record<string, unknown>
const isHolder = (value: unknown): value is Raw => typeof value === 'object' && value !== null
const forbidden: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype'])

/** Elements of lists go by their place or their id. */
function inside(holder: Raw, key: string): string {
  if (!Array.isArray(holder) || /^\d+$/.test(key)) return key
  const place = holder.findIndex((element) => isHolder(element) && element['id'] === key)
  return place < 0 ? key : String(place)
}

function placeOf(raw: Raw, path: string): { readonly holder: Raw; readonly key: string } {
  const keys = path.split('.')
  let holder: Raw = raw
  for (const [at, name] of keys.entries()) {
    const key = inside(holder, name)
    if (forbidden.has(key) || (Array.isArray(holder) && !(key in holder))) break
    if (at === keys.length - 1) return { holder, key }
    const next = Object.hasOwn(holder, key) ? holder[key] : undefined
    if (!isHolder(next)) break
    holder = next
  }
  throw new Trouble(`${path}: there is no such place in the station’s settings`)
}

/** The limits as they will be read; a list of another form is the reader's to refuse. */
const limitsOf = (raw: Raw): Raw[] => (Array.isArray(raw['limits']) ? raw['limits'].filter(isHolder) : [])
const named = (limits: readonly Raw[]): string => limits.map(({ id, channel }) => String(id ?? channel)).join(', ')

function referenceFollows(station: StationFile, raw: Raw, set: SettingChanges): string[] {
  const to = set['conversions.referenceOxygen']
  const from = station.conversions.referenceOxygen
  if (to === undefined || from === undefined || to === from || 'limits' in set) return []
  const following = limitsOf(raw).filter(
    (limit, place) =>
      limit['referenceOxygen'] === from &&
      !(`limits.${place}.referenceOxygen` in set) &&
      !(`limits.${String(limit['id'])}.referenceOxygen` in set),
  )
  for (const limit of following) limit['referenceOxygen'] = to
  return following.length === 0 ? [] : [`limits at ${from} vol% oxygen go with it, to ${to}: ${named(following)}`]
}

/** Averages of blocks that are no longer formed, and days where blocks no longer follow the clock. */
function averagesLeftOut(raw: Raw, set: SettingChanges): string[] {
  const { averaging } = raw
  if (!isHolder(averaging) || !Array.isArray(averaging['ofBlocks'])) return []
  const isTried = Object.keys(set).some((path) => path === 'averaging' || path.startsWith('averaging.ofBlocks'))
  const { blocks, align } = averaging
  if (isTried || !Array.isArray(blocks)) return []
  const formed = new Set<unknown>(blocks)
  const left: Raw[] = []
  const lost: Raw[] = []
  for (const entry of averaging['ofBlocks'].filter(isHolder)) {
    const isLost = !formed.has(entry['of']) || (align === 'run' && entry['average'] === calendarDay)
    if (isLost) lost.push(entry)
    else left.push(entry)
    if (!isLost && entry['window'] === 'fixed') formed.add(entry['average'])
  }
  if (lost.length === 0) return []
  averaging['ofBlocks'] = left
  return [
    `averages of blocks that are no longer formed are left out: ${lost.map(({ average, of }) => `${average} of ${of}`).join(', ')}`,
  ]
}

function limitsLeftOut(station: StationFile, raw: Raw, set: SettingChanges): string[] {
  if (!Object.keys(set).some((path) => path.startsWith('averaging'))) return []
  const before = formedLengths(station)
  const now = formedLengths(raw)
  const isFormed = ({ of, average }: Raw): boolean =>
    (of !== 'block' && of !== 'rolling') || average === undefined || now[of].has(average) || !before[of].has(average)
  const limits = limitsOf(raw)
  const lost = limits.filter((limit) => !isFormed(limit))
  if (lost.length === 0) return []
  raw['limits'] = limits.filter(isFormed)
  return [`limits of averages that are no longer formed are left out: ${named(lost)}`]
}

/** Lengths of the averages that settings ask for, as limits name them; what is of another form is the reader's to refuse. */
function formedLengths(settings: {
  readonly averaging?: unknown
}): Readonly<Record<'block' | 'rolling', ReadonlySet<unknown>>> {
  const averaging = isHolder(settings.averaging) ? settings.averaging : {}
  const listed = (key: string): readonly unknown[] => (Array.isArray(averaging[key]) ? averaging[key] : [])
  const ofBlocks = (window: string): readonly unknown[] =>
    listed('ofBlocks')
      .filter(isHolder)
      .flatMap((entry) => (entry['window'] === window ? [entry['average']] : []))
  return {
    block: new Set([...listed('blocks'), ...ofBlocks('fixed')]),
    rolling: new Set([...listed('rolling'), ...ofBlocks('rolling')]),
  }
}
