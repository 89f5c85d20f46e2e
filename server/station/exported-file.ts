import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ExportedFile } from '../http/station-face.ts'
import { longWork } from './long-work.ts'

const contentTypes = {
  csv: 'text/csv; charset=utf-8',
  json: 'application/json',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
} as const

/** A recording's averages as one file, made in a worker; gone once it was sent. */
export async function exportedFile(
  path: string,
  format: keyof typeof contentTypes,
  decimal: '.' | ',',
): Promise<ExportedFile> {
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-export-'))
  const release = (): void => rmSync(folder, { recursive: true, force: true })
  try {
    const files = await longWork({ work: 'export', path, target: { folder, formats: [format], decimal } })
    const name = files[0] ?? ''
    return { name, path: join(folder, name), contentType: contentTypes[format], release }
  } catch (error) {
    release()
    throw error
  }
}
