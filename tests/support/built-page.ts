import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { inject } from 'vitest'

/** The page as it is in the tree: built once for all files of a run, which share it and leave it as it is. */
export const builtPage = (): string => inject('builtPage')

/** Builds pages of the dashboard's folder into a folder of their own. `pages`: left out, the dashboard alone. */
export async function buildPages(pages?: readonly string[]): Promise<string> {
  const outDir = mkdtempSync(join(tmpdir(), 'flueledger-web-'))
  const input = pages?.map((page) => fileURLToPath(new URL(`../../web/${page}`, import.meta.url)))
  // Only where something is built: the files that share the page would each load the builder for nothing.
  const { build } = await import('vite')
  // The test runner's own mode would build the libraries for development.
  const mode = process.env.NODE_ENV
  process.env.NODE_ENV = 'production'
  await build({
    configFile: fileURLToPath(new URL('../../web/vite.config.ts', import.meta.url)),
    logLevel: 'error',
    build: { outDir, emptyOutDir: true, ...(input ? { rolldownOptions: { input } } : {}) },
  }).finally(() => {
    process.env.NODE_ENV = mode
  })
  return outDir
}
