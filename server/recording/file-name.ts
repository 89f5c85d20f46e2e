import { existsSync } from 'node:fs'
import { join } from 'node:path'

/** The end of every recording's name: an SQLite file of ours. */
export const recordingEnd = '.flue.sqlite'
const slugLongest = 60

/**
 * `20261125T213000Z-night-run-3.flue.sqlite`, or `standby-20261125T213000Z.flue.sqlite` for lines outside a run. UTC, so that
 * names sort by time. Letters without their accents, digits and hyphens only: the name never leaves its folder.
 */
export function recordingFileName(recording: {
  readonly runName: string
  readonly madeMs: number
  readonly standby: boolean
}): string {
  const start = new Date(recording.madeMs).toISOString().replace(/[-:]|\.\d+/g, '')
  return recording.standby ? `standby-${start}${recordingEnd}` : `${start}-${slug(recording.runName)}${recordingEnd}`
}

/** The path of a new recording: a number is added where another one was begun under the same name in the same second. */
export function newRecordingPath(folder: string, recording: Parameters<typeof recordingFileName>[0]): string {
  const path = join(folder, recordingFileName(recording))
  const start = path.slice(0, -recordingEnd.length)
  for (let number = 1; ; number++) {
    const tried = number === 1 ? path : `${start}-${number}${recordingEnd}`
    if (!existsSync(tried)) return tried
  }
}

function slug(name: string): string {
  const plain = name.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase()
  return (
    plain
      .replace(/[^a-z0-9]+/g, '-')
      .slice(0, slugLongest)
      .replace(/^-+|-+$/g, '') || 'run'
  )
}
