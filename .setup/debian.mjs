// Programs that come from the operating system: found on the PATH, or installed with apt-get.
import { isOnPath, lastLines, run, SetUpError, say } from './run.mjs'

/** Command → the Debian package that brings it. */
export const buildTools = { python3: 'python3', make: 'make', 'g++': 'g++' }
export const testPrograms = { chromium: 'chromium', socat: 'socat', sqlite3: 'sqlite3' }

/**
 * Sees to it that the commands are there. Installs what is missing as root or where sudo asks for no password; throws a
 * SetUpError that says what to type where neither is so. Says nothing when nothing is missing.
 *
 * programs: command → Debian package. purpose: ends the sentence "X is needed …".
 */
export async function ensurePrograms(programs, purpose) {
  const missing = Object.keys(programs).filter((command) => !isOnPath(command))
  if (missing.length === 0) return
  const packages = missing.map((command) => programs[command])
  const names = packages.join(', ')
  const sudo = isRoot() ? '' : 'sudo '
  const byHand = `${sudo}apt-get update && ${sudo}apt-get install -y --no-install-recommends ${packages.join(' ')}`
  const complaint = `Needed ${purpose} and not on this machine: ${missing.join(', ')}.`
  const advice = `Please run\n    ${byHand}\nand start again.`
  if (!isOnPath('apt-get')) {
    throw new SetUpError(
      `${complaint} There is no apt-get here: please install them by the means of this system and start again.`,
    )
  }
  if (!isRoot() && !(await sudoIsFree())) throw new SetUpError(`${complaint} ${advice}`)

  say(`Installing ${names} (needed ${purpose}) …`)
  // A mirror that is out of reach need not matter: the install tells whether it does.
  const update = await aptGet(['update'])
  const install = await aptGet(['install', '-y', '--no-install-recommends', ...packages])
  if (install.status !== 0) {
    const output = update.status === 0 ? install.output : `${update.output}\n${install.output}`
    throw new SetUpError(`apt-get could not install ${names}:\n${lastLines(output)}\n${advice}`)
  }
}

const isRoot = () => process.getuid?.() === 0
const sudoIsFree = async () => isOnPath('sudo') && (await run('sudo', ['-n', 'true'], { quiet: true })).status === 0

function aptGet(parameters) {
  const patient = ['-qq', '-o', 'DPkg::Lock::Timeout=120', ...parameters]
  // The variable goes through env, since sudo does not hand on its own environment.
  const command = ['env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', ...patient]
  if (!isRoot()) command.unshift('sudo', '-n')
  return run(command[0], command.slice(1), { quiet: true })
}
