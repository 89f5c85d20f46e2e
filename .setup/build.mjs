// dist/: the server, protocols and simulator as JavaScript with what lies beside them, and the dashboard.
import { createHash } from 'node:crypto'
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import { packagesStamp } from './packages.mjs'
import { lastLines, runNode, SetUpError, say, top } from './run.mjs'

const compiledFolders = ['server', 'protocols', 'simulator']
const dist = join(top, 'dist')
const stampFile = join(dist, '.flueledger-build')

/** Builds dist/ unless its stamp says that it was built from these very sources. */
export async function ensureBuild({ anew = false } = {}) {
  const stamp = sourcesStamp()
  if (!anew && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return
  say('Building …')
  rmSync(dist, { recursive: true, force: true })
  await step('The server does not compile', 'node_modules/typescript/bin/tsc', ['-p', 'server/tsconfig.json'])
  await step('The dashboard does not build', 'node_modules/vite/bin/vite.js', [
    'build',
    '--config',
    'web/vite.config.ts',
    '--logLevel',
    'warn',
  ])
  for (const file of compiledFolders.flatMap(filesUnder))
    if (!file.endsWith('.ts') && !file.endsWith('tsconfig.json')) copyToDist(file)
  const command = join(dist, 'server', 'main.js')
  if (existsSync(command)) chmodSync(command, 0o755)
  writeFileSync(stampFile, stamp)
}

async function step(complaint, file, parameters) {
  const { status, output } = await runNode(file, parameters, { quiet: true, environment: { NO_COLOR: '1' } })
  if (status !== 0) throw new SetUpError(`${complaint}:\n${lastLines(output, 40)}`)
}

/** The compiler emits only what is imported; ready profiles, scenarios and SQL are read as files, from the same place beside the code. */
function copyToDist(file) {
  const target = join(dist, file)
  mkdirSync(dirname(target), { recursive: true })
  copyFileSync(join(top, file), target)
}

function sourcesStamp() {
  const hash = createHash('sha256').update(packagesStamp())
  for (const file of ['package.json', 'tsconfig.json', ...[...compiledFolders, 'web'].flatMap(filesUnder)]) {
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
