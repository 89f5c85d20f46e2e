// The packages of the lock file, installed once per lock file and Node version.
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { buildTools, ensurePrograms } from './debian.mjs'
import { lastLines, run, SetUpError, say, top } from './run.mjs'

const stampFile = join(top, 'node_modules', '.flueledger-packages')

/** Installs the packages unless the stamp in node_modules says that these very ones are there for this Node. */
export async function ensurePackages() {
  refuseOldNode()
  const stamp = packagesStamp()
  if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return
  say('Installing the packages of the lock file …')
  // Install scripts wait: the one that matters may need a compiler, and everything else is there before it asks for one.
  const install = await npm(['ci', '--ignore-scripts', '--include=dev'])
  if (install.status !== 0) throw new SetUpError(`npm ci failed:\n${lastLines(install.output)}`)
  await ensureDatabaseBinding()
  writeFileSync(stampFile, stamp)
}

/** What decides whether installed packages still fit. */
export const packagesStamp = () =>
  createHash('sha256')
    .update(readFileSync(join(top, 'package-lock.json')))
    .update(`${process.version} ${process.platform} ${process.arch}`)
    .digest('hex')

/** The SQLite binding: ready-made where its download answers, compiled here where it does not. */
async function ensureDatabaseBinding() {
  if ((await databaseOpens()).status === 0) return
  say('Fetching or compiling the SQLite binding, a minute or two …')
  if ((await rebuild()).status === 0 && (await databaseOpens()).status === 0) return
  await ensurePrograms(buildTools, 'to compile the SQLite binding')
  const compiled = await rebuild()
  const opened = await databaseOpens()
  if (opened.status !== 0) {
    throw new SetUpError(
      `The SQLite binding (better-sqlite3) could not be compiled:\n${lastLines(`${compiled.output}\n${opened.output}`, 30)}`,
    )
  }
}

const databaseOpens = () =>
  run(process.execPath, ['-e', "new (require('better-sqlite3'))(':memory:').close()"], { quiet: true })

const rebuild = () =>
  npm(['rebuild', 'better-sqlite3', '--foreground-scripts'], { JOBS: 'max', ...headersBesideNode() })

/** Node's own headers, where they were installed with it: spares the compiler a download. */
function headersBesideNode() {
  const folder = dirname(dirname(process.execPath))
  const file = join(folder, 'include', 'node', 'node_version.h')
  if (!existsSync(file)) return {}
  const fits = readFileSync(file, 'utf8').includes(`#define NODE_MODULE_VERSION ${process.versions.modules}`)
  return fits ? { npm_config_nodedir: folder } : {}
}

/** npm as it runs this script, or the one on the PATH. */
function npm(parameters, environment = {}) {
  const self = process.env.npm_execpath
  const command = self?.endsWith('.js') ? [process.execPath, self] : ['npm']
  return run(command[0], [...command.slice(1), ...parameters], { quiet: true, environment })
}

function refuseOldNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
  if (major < 20 || (major === 20 && minor < 19))
    throw new SetUpError(`Node ${process.version} is too old: 20.19 or later is needed.`)
}
