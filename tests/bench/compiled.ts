import { mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'vite'

const top = fileURLToPath(new URL('../..', import.meta.url))

export type Parts = typeof import('./parts.ts')

/** The parts that are measured, put together as the command is delivered. */
export async function compiledParts(): Promise<Parts> {
  // Below the packages' folder, so that they are found from there.
  const outDir = mkdtempSync(join(top, 'node_modules/.flueledger-bench-'))
  process.once('exit', () => rmSync(outDir, { recursive: true, force: true }))
  await build({
    configFile: join(top, 'server/vite.config.ts'),
    logLevel: 'warn',
    build: { outDir, rolldownOptions: { input: { 'server/parts': join(top, 'tests/bench/parts.ts') } } },
  })
  return import(pathToFileURL(join(outDir, 'server/parts.js')).href)
}
