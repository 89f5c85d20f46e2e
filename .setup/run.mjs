// Child processes of the set-up: shown as they are, or silent unless they fail. Plain JavaScript: runs before any package is there.
import { spawn } from 'node:child_process'
import { accessSync, constants } from 'node:fs'
import { delimiter, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The top folder of the project; every child runs there. */
export const top = dirname(dirname(fileURLToPath(import.meta.url)))

/** A failure that is told to the person in front of the terminal as it is, without a stack; the set-up then ends with status 2. */
export class SetUpError extends Error {}

/**
 * Runs a command to its end.
 *
 * quiet: its output is collected and returned, not shown. environment: added to this process's own.
 * Returns the exit status (128 + n after signal n is not told apart: 1) and the collected output, both streams in one.
 * A command that cannot be started has status 127.
 */
export function run(command, parameters, { quiet = false, environment = {} } = {}) {
  return new Promise((settle) => {
    const stdio = quiet ? ['ignore', 'pipe', 'pipe'] : 'inherit'
    const child = spawn(command, parameters, { cwd: top, stdio, env: { ...process.env, ...environment } })
    let output = ''
    const collect = (chunk) => {
      output += chunk
    }
    child.stdout?.setEncoding('utf8').on('data', collect)
    child.stderr?.setEncoding('utf8').on('data', collect)
    child.on('error', (error) => settle({ status: 127, output: String(error) }))
    child.on('close', (status) => settle({ status: status ?? 1, output }))
  })
}

/** Runs a program of node_modules by its own start file: no shell and no npm stands between, so that signals reach it. */
export const runNode = (file, parameters, options) => run(process.execPath, [join(top, file), ...parameters], options)

/** Whether a command of that name is on the PATH. */
export const isOnPath = (command) =>
  (process.env.PATH ?? '').split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, command), constants.X_OK)
      return true
    } catch {
      return false // Not in this folder: the next one decides.
    }
  })

/** The last lines of a long output, indented, for a message. */
export const lastLines = (output, count = 15) =>
  output
    .trimEnd()
    .split('\n')
    .slice(-count)
    .map((line) => `    ${line}`)
    .join('\n')

/** Progress of the set-up; on standard error, since standard output belongs to what is started afterwards. */
export const say = (text) => process.stderr.write(`${text}\n`)

/** Runs a whole set-up script: a SetUpError becomes its message and status 2. */
export async function main(work) {
  try {
    process.exitCode = await work()
  } catch (error) {
    if (!(error instanceof SetUpError)) throw error
    say(error.message)
    process.exitCode = 2
  }
}
