import { readFileSync, realpathSync } from 'node:fs'
import { extname, isAbsolute, join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { readProfile } from '../engine/settings/read-profile.ts'
import { isForbidden, whyUnreadable } from '../file-trouble.ts'
import { type Fault, readSettingsText, type SettingsText } from './settings-text.ts'

/** The ready line profiles that come with the program. */
const readyProfiles = fileURLToPath(new URL('../../protocols/instrument/profiles/', import.meta.url))

export type ProfileFile =
  | { readonly ok: true; readonly text: SettingsText }
  | { readonly ok: false; readonly message: string }

/**
 * The line profile called `name` in a station file: a file in the station file's folder, else a ready one; `.json` may be
 * left out. Files elsewhere are refused, also behind links: a station and its profiles travel together.
 */
export function openProfileFile(name: string, stationFolder: string): ProfileFile {
  if (isAbsolute(name) || name.includes('\0'))
    return { ok: false, message: `"${name}" must be the name of a file beside the station file` }
  const names = extname(name) === '.json' ? [name] : [name, `${name}.json`]
  for (const folder of [stationFolder, readyProfiles]) {
    for (const each of names) {
      const found = readInside(folder, each)
      if (found === 'outside')
        return {
          ok: false,
          message: `"${name}" lies outside of the station file's folder; put it beside the station file`,
        }
      if (found === 'missing') continue
      if ('forbidden' in found)
        return { ok: false, message: `${join(folder, each)} cannot be read: ${found.forbidden}` }
      return { ok: true, text: readSettingsText(join(folder, each), found.content) }
    }
  }
  return { ok: false, message: `"${name}" was found neither beside the station file nor among the ready profiles` }
}

function readInside(
  folder: string,
  name: string,
): { readonly content: string } | { readonly forbidden: string } | 'missing' | 'outside' {
  const path = join(folder, name)
  if (isOutside(folder, path)) return 'outside'
  try {
    if (isOutside(realpathSync(folder), realpathSync(path))) return 'outside'
    return { content: readFileSync(path, 'utf8') }
  } catch (error) {
    // A ready profile of the same name must not stand in, unnoticed, for a file that this user may not read.
    if (isForbidden(error)) return { forbidden: whyUnreadable(error) }
    return 'missing' // No such file, or a folder: the next place may have it.
  }
}

const isOutside = (folder: string, path: string): boolean => {
  const way = relative(folder, path)
  return way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way)
}

/** The faults of a line profile that stands in a file of its own. */
export function profileFaults(text: SettingsText): readonly Fault[] {
  if (text.value === undefined) return text.faults
  const read = readProfile(text.value)
  const found = read.ok ? [] : read.findings.map((finding) => text.faultOf(finding))
  return [...text.faults, ...found].toSorted((a, b) => a.line - b.line || a.column - b.column)
}
