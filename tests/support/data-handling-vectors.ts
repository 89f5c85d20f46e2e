import { readFileSync } from 'node:fs'
import { join } from 'node:path'

const file = join(import.meta.dirname, '../fixtures/published/data-handling-vectors.json')

/** The project's hand-checkable data-handling vectors, by their ids. */
function vectors(): readonly { readonly id: string }[] {
  return JSON.parse(readFileSync(file, 'utf8')).vectors
}

export const vectorIds = (): string[] => vectors().map(({ id }) => id)

// biome-ignore lint/suspicious/noExplicitAny: each vector has a form of its own.
export function vectorOf(id: string): any {
  const found = vectors().find((vector) => vector.id === id)
  if (!found) throw new Error(`there is no data-handling vector ${id}`)
  return found
}
