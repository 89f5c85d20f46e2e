import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

const folder = join(import.meta.dirname, '..', 'fixtures', 'open-data')

/** A file of the open data: measured by somebody else, under an open licence. Origin, licence and facts stand in the README beside it. */
export const openData = (path: string): Buffer => readFileSync(join(folder, path))

/** Files of a folder of the open data, as paths for `openData`. */
export const openDataIn = (path: string): readonly string[] =>
  readdirSync(join(folder, path)).map((file) => `${path}/${file}`)

/** Rows of a plain comma-separated file without quotes, by the names in its first line. */
export function openRows(path: string): readonly Readonly<Record<string, string>>[] {
  const [header = '', ...lines] = openData(path).toString('utf8').trim().split(/\r?\n/)
  const names = header.split(',')
  return lines.map((line) => {
    const cells = line.split(',')
    return Object.fromEntries(names.map((name, index) => [name, cells[index] ?? '']))
  })
}
