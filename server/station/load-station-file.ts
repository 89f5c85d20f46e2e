import { readFileSync } from 'node:fs'
import { dirname } from 'node:path'
import type { Finding } from '../engine/settings/findings.ts'
import { type OpenSetting, openSettings } from '../engine/settings/open-settings.ts'
import { readStation } from '../engine/settings/read-station.ts'
import { isRecord } from '../engine/settings/regimes.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { stationWarnings } from '../engine/settings/warnings.ts'
import { whyUnreadable } from '../file-trouble.ts'
import { openProfileFile } from './profile-files.ts'
import { type Fault, readSettingsText, type SettingsText } from './settings-text.ts'

export { stationSchema } from '../engine/settings/station-schema.ts'
export type { Fault } from './settings-text.ts'

export type LoadedStation =
  | {
      readonly ok: true
      readonly station: StationFile
      /** The settings in force as JSON: profiles inline, presets and defaults filled in. Loading it again gives the same. */
      readonly text: string
      readonly warnings: readonly Fault[]
    }
  | { readonly ok: false; readonly faults: readonly Fault[] }

/** Reads a station file. All faults at once, each with its place, those of its profile files in these. Never throws. */
export function loadStationFile(path: string): LoadedStation {
  let content: string
  try {
    content = readFileSync(path, 'utf8')
  } catch (error) {
    return {
      ok: false,
      faults: [
        {
          file: path,
          line: 1,
          column: 1,
          path: '',
          message: `cannot be read: ${whyUnreadable(error)}`,
        },
      ],
    }
  }
  return stationOf(readSettingsText(path, content), dirname(path))
}

/** A station file's text, with the folder in which its profiles lie. */
export function stationOf(text: SettingsText, folder: string): LoadedStation {
  if (text.value === undefined) return { ok: false, faults: text.faults }
  const { raw, files, already } = withProfiles(text.value, folder)
  const found = readStation(raw, already)
  const profileTexts = [...new Map([...files.values()].map((file) => [file.file, file])).values()]
  const syntax = profileTexts.flatMap((file) => file.faults)
  const located = [...text.faults, ...syntax, ...found.findings.map((finding) => faultOf(finding, text, files))].filter(
    ({ message }) => message !== unreadable,
  )
  if (!found.ok || located.length > 0) return { ok: false, faults: inOrder(distinct(located), text.file) }
  const warnings = stationWarnings(found.station).map((finding) => faultOf(finding, text, files))
  return { ok: true, station: found.station, text: JSON.stringify(found.station, null, 2), warnings }
}

/** What holds where a station file's text says nothing; also of a file that is not sound yet. */
export function openSettingsOf({ value }: SettingsText, folder: string): readonly OpenSetting[] {
  const { raw, already } = withProfiles(value, folder)
  return openSettings(raw, already)
}

/** Marks a stream whose profile file is no JSON: the faults of that file say why. */
const unreadable = 'the profile file cannot be read'

interface WithProfiles {
  readonly raw: unknown
  /** Place of the stream → the file that its profile came from. */
  readonly files: ReadonlyMap<number, SettingsText>
  readonly already: readonly Finding[]
}

/** The station file's value with the profiles that it names put in their places. */
function withProfiles(value: unknown, folder: string): WithProfiles {
  const files = new Map<number, SettingsText>()
  const already: Finding[] = []
  if (!isRecord(value) || !Array.isArray(value.streams)) return { raw: value, files, already }
  const streams = value.streams.map((stream: unknown, place) => {
    const name = isRecord(stream) ? stream.profile : undefined
    if (!isRecord(stream) || typeof name !== 'string') return stream
    const opened = openProfileFile(name, folder)
    if (!opened.ok) already.push({ path: ['streams', place, 'profile'], message: opened.message })
    else {
      files.set(place, opened.text)
      if (opened.text.value !== undefined) return { ...stream, profile: opened.text.value }
      already.push({ path: ['streams', place, 'profile'], message: unreadable })
    }
    return stream
  })
  return { raw: { ...value, streams }, files, already }
}

/** A finding inside a profile that came from a file of its own is placed in that file. */
function faultOf(finding: Finding, text: SettingsText, files: ReadonlyMap<number, SettingsText>): Fault {
  const [list, place, key, ...inside] = finding.path
  const file = list === 'streams' && key === 'profile' && typeof place === 'number' ? files.get(place) : undefined
  return file && inside.length > 0 ? file.faultOf({ ...finding, path: inside }) : text.faultOf(finding)
}

/** Two streams may share a profile file: its faults are told once. */
const distinct = (faults: readonly Fault[]): Fault[] => [
  ...new Map(faults.map((fault) => [JSON.stringify(fault), fault])).values(),
]

/** The station file first, then its profiles; each from top to bottom. */
const inOrder = (faults: readonly Fault[], first: string): Fault[] =>
  faults.toSorted(
    (a, b) =>
      Number(b.file === first) - Number(a.file === first) ||
      (a.file < b.file ? -1 : a.file > b.file ? 1 : a.line - b.line || a.column - b.column),
  )
