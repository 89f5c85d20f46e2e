import { spawnSync } from 'node:child_process'
import { main } from './built-command.ts'

/** Root may open everything. Without these two rights the system asks of root, too, what the file says of its owner. */
const asked = process.getuid?.() === 0 ? ['setpriv', '--bounding-set=-dac_override,-dac_read_search'] : []

/** Runs the built command to its end as somebody whom the rights of files bind. */
export function boundByRights(...parameters: string[]) {
  const [program = '', ...before] = [...asked, process.execPath]
  const { status, stdout, stderr, error } = spawnSync(program, [...before, main, ...parameters], { encoding: 'utf8' })
  if (error) throw error
  return { status, out: stdout, err: stderr }
}
