import { z } from 'zod'
import type { Connection } from './database.ts'
import type { RecordingHeader } from './recording.ts'
import { sha256 } from './seal.ts'
import { storedRow } from './stored-row.ts'

const row = z.object({
  run_name: z.string(),
  station: z.string(),
  made_ms: z.int(),
  engine_version: z.string(),
  standby: z.int(),
  invented: z.int(),
  origin: z.enum(['live', 'imported']),
  run_number: z.int(),
  run_count: z.int(),
  json: z.string(),
  sha256: z.string(),
})

export interface StoredHeader {
  readonly header: RecordingHeader
  /** As stored beside the settings; `verifySeals` compares it with the text. */
  readonly settingsSha256: string
}

/** The tables `header` and `settings`: one row each, written once; no other file writes or reads them. */
export function writeHeader(db: Connection, header: RecordingHeader): void {
  const [number, of] = header.numberOfRuns
  db.prepare('INSERT INTO header VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, ?)').run(
    header.runName,
    header.station,
    header.madeMs,
    header.engineVersion,
    header.standby ? 1 : 0,
    header.invented ? 1 : 0,
    header.origin,
    number,
    of,
  )
  db.prepare('INSERT INTO settings VALUES (1, ?, ?)').run(header.settings, sha256(header.settings))
}

/** Throws a `recording-damaged` trouble when a row is missing or cannot be. */
export function readHeader(db: Connection): StoredHeader {
  const found = storedRow(row, db.prepare('SELECT * FROM header, settings').get(), 'header')
  return {
    header: {
      runName: found.run_name,
      station: found.station,
      settings: found.json,
      madeMs: found.made_ms,
      engineVersion: found.engine_version,
      standby: found.standby === 1,
      invented: found.invented === 1,
      origin: found.origin,
      numberOfRuns: [found.run_number, found.run_count],
    },
    settingsSha256: found.sha256,
  }
}
