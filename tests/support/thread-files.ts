import { mkdtempSync, rmSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import type { Plugin } from 'vite'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  interface ProvidedContext {
    /** The folder with the program's worker threads, each in one file of plain JavaScript. */
    threadFiles: string
  }
}

const threads = [
  'server/recording/backup-thread.ts',
  'server/recording/writer-thread.ts',
  'server/station/long-work-thread.ts',
]
const top = fileURLToPath(new URL('../..', import.meta.url))

export const threadFileName = (source: URL): string => `${basename(fileURLToPath(source), '.ts')}.mjs`

/** In one file for all, what lies beside a source is still found beside it. */
const ownPlaces: Plugin = {
  name: 'own-places',
  transform: (code, id) =>
    code.includes('import.meta.url')
      ? code.replaceAll('import.meta.url', JSON.stringify(String(pathToFileURL(id))))
      : null,
}

/**
 * Makes the program's threads ready to be started, once for a run; what is given back happens after the last test. Loading
 * the TypeScript loader into each thread takes five times as long as all else that a thread does to begin.
 */
export default async function prepareThreads(project: Pick<TestProject, 'provide'>): Promise<() => void> {
  const { build } = await import('vite')
  // Below the packages' folder, so that they are found from there.
  const outDir = mkdtempSync(join(top, 'node_modules/.flueledger-threads-'))
  await build({
    configFile: false,
    root: top,
    logLevel: 'error',
    plugins: [ownPlaces],
    build: {
      ssr: true,
      outDir,
      emptyOutDir: true,
      minify: false,
      target: 'node20',
      rolldownOptions: {
        input: threads.map((file) => join(top, file)),
        output: { entryFileNames: '[name].mjs', chunkFileNames: '[name]-[hash].mjs' },
      },
    },
  })
  project.provide('threadFiles', outDir)
  return () => rmSync(outDir, { recursive: true, force: true })
}
