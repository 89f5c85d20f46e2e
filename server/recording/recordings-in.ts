import { readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { recordingEnd } from './file-name.ts'
import type { RecordingHeader } from './recording.ts'
import { openRecording, type RecordingExtent } from './recording-reader.ts'
import type { RecordedRunState } from './run-state.ts'
import { RecordingTrouble, type RecordingTroubleCode } from './trouble.ts'

interface Found {
  readonly file: string
  readonly path: string
  readonly bytes: number
}
export type RecordingSummary =
  | (Found & {
      readonly readable: true
      readonly header: Omit<RecordingHeader, 'settings'>
      readonly extent: RecordingExtent
      readonly runState: RecordedRunState
      readonly wasKilled: boolean
    })
  | (Found & { readonly readable: false; readonly code: RecordingTroubleCode; readonly reason: string })

/** What lies in a data folder, by name; a damaged file is listed with its reason, an unreadable or missing folder holds nothing. */
export function recordingsIn(folder: string): RecordingSummary[] {
  return filesIn(folder).map((file) => {
    const path = join(folder, file)
    const found = { file, path, bytes: statSync(path, { throwIfNoEntry: false })?.size ?? 0 }
    try {
      return { ...found, readable: true, ...contentOf(path) }
    } catch (error) {
      if (!(error instanceof RecordingTrouble)) throw error
      return { ...found, readable: false, code: error.code, reason: error.message }
    }
  })
}

function filesIn(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith(recordingEnd))
      .sort()
  } catch {
    // Who uses the folder hears of it from the lock; a list of nothing is true here.
    return []
  }
}

function contentOf(path: string) {
  const recording = openRecording(path)
  try {
    const { settings: _, ...header } = recording.header
    return { header, extent: recording.extent(), runState: recording.runState(), wasKilled: recording.wasKilled() }
  } finally {
    recording.close()
  }
}
