import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  interface ProvidedContext {
    /** The folder with the program as it is delivered, of which its worker threads are started. */
    threadFiles: string
  }
}

const top = fileURLToPath(new URL('../..', import.meta.url))

/** The place in that folder of a thread's source. */
export const threadFile = (source: URL): string => relative(top, fileURLToPath(source)).replace(/\.ts$/, '.js')

/**
 * Makes the program's threads ready to be started, once for a run; what is given back happens after the last test. Loading
 * the TypeScript loader into each thread takes five times as long as all else that a thread does to begin.
 */
export default async function prepareThreads(project: Pick<TestProject, 'provide'>): Promise<() => void> {
  const { build } = await import('vite')
  // Below the packages' folder, so that they are found from there.
  const outDir = mkdtempSync(join(top, 'node_modules/.flueledger-threads-'))
  // Else each thread would have to find out what kind of modules its files are.
  writeFileSync(join(outDir, 'package.json'), '{ "type": "module" }')
  await build({ configFile: join(top, 'server/vite.config.ts'), logLevel: 'error', build: { outDir } })
  project.provide('threadFiles', outDir)
  return () => rmSync(outDir, { recursive: true, force: true })
}
