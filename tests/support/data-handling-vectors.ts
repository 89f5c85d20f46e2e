import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'

/** The project's hand-checkable data-handling vectors, by their ids. Throws where their file is missing. */
function vectors(): readonly { readonly id: string }[] {
  const folder = process.env.FLUELEDGER_SHARED ?? resolve(process.cwd(), '..', 'shared')
  const file = resolve(folder, 'reference', 'data-handling-vectors.json')
  if (!existsSync(file))
    throw new Error(
      `the data-handling vectors are missing: ${file} does not exist; set FLUELEDGER_SHARED to their folder`,
    )
  return JSON.parse(readFileSync(file, 'utf8')).vectors
}

export const vectorIds = (): string[] => vectors().map(({ id }) => id)

// biome-ignore lint/suspicious/noExplicitAny: each vector has a form of its own.
export function vectorOf(id: string): any {
  const found = vectors().find((vector) => vector.id === id)
  if (!found) throw new Error(`there is no data-handling vector ${id}`)
  return found
}
