import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { inject } from 'vitest'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  interface ProvidedContext {
    /** The folder of the dashboard, built from the sources as they are. */
    builtPage: string
  }
}

/** The page as it is in the tree: built once for all files of a run, which share it and leave it as it is. */
export const builtPage = (): string => inject('builtPage')

/** Builds pages of the dashboard's folder into a folder of their own. `pages`: left out, the dashboard alone. */
export async function buildPages(pages?: readonly string[]): Promise<string> {
  const outDir = mkdtempSync(join(tmpdir(), 'flueledger-web-'))
  const input = pages?.map((page) => fileURLToPath(new URL(`../../web/${page}`, import.meta.url)))
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

/** Before the first file of a run; what is given back happens after the last. */
export default async function buildForAll(project: TestProject): Promise<() => void> {
  const folder = await buildPages()
  project.provide('builtPage', folder)
  return () => rmSync(folder, { recursive: true, force: true })
}
