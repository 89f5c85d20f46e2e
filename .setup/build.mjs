// dist/: the command with the simulator in it, the data files that it reads, and the dashboard.
import { createHash } from 'node:crypto'
import { chmodSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { packagesStamp } from './packages.mjs'
import { lastLines, runNode, SetUpError, say, top } from './run.mjs'

const sourceFolders = ['server', 'protocols', 'simulator', 'web']
const dist = join(top, 'dist')
const stampFile = join(dist, '.flueledger-build')

/** Builds dist/ unless its stamp says that it was built from these very sources. */
export async function ensureBuild({ anew = false } = {}) {
  const stamp = sourcesStamp()
  if (!anew && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return
  say('Building …')
  rmSync(dist, { recursive: true, force: true })
  await step('The command does not build', 'server/vite.config.ts')
  await step('The dashboard does not build', 'web/vite.config.ts')
  const command = join(dist, 'server', 'main.js')
  if (existsSync(command)) chmodSync(command, 0o755)
  writeFileSync(stampFile, stamp)
}

async function step(complaint, config) {
  const parameters = ['build', '--config', config, '--logLevel', 'warn']
  const { status, output } = await runNode('node_modules/vite/bin/vite.js', parameters, {
    quiet: true,
    environment: { NO_COLOR: '1' },
  })
  if (status !== 0) throw new SetUpError(`${complaint}:\n${lastLines(output, 40)}`)
}

function sourcesStamp() {
  const hash = createHash('sha256').update(packagesStamp())
  for (const file of ['package.json', 'tsconfig.json', ...sourceFolders.flatMap(filesUnder)]) {
    hash.update(`\0${file}\0`).update(readFileSync(join(top, file)))
  }
  return hash.digest('hex')
}

/** All files under a folder of the project, as paths from its top, in a fixed order. */
function filesUnder(folder) {
  return readdirSync(join(top, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(top.length + 1))
    .sort()
}
