import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import { buildPages } from './built-page.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** The folder of the dashboard, built from the sources as they are. */
    builtPage: string
    /** A folder for what is made once and used by several files of tests; nobody changes what lies in it. */
    sharedFolder: string
  }
}

/** Before the first file of a run; what is given back happens after the last. */
export default async function prepareForAll(project: TestProject): Promise<() => void> {
  const made = [await buildPages(), mkdtempSync(join(tmpdir(), 'flueledger-shared-'))] as const
  project.provide('builtPage', made[0])
  project.provide('sharedFolder', made[1])
  return () => {
    for (const folder of made) rmSync(folder, { recursive: true, force: true })
  }
}
