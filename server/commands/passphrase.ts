import { readFileSync } from 'node:fs'
import { whyUnreadable } from '../file-trouble.ts'
import { shortestPassphrase } from '../http/sign-in.ts'
import { exitStatus, Trouble } from '../trouble.ts'

/** The passphrase of the station: the first line of a file, so that it stands on no command line and in no log. */
export function passphraseFrom(path: string): string {
  let text: string
  try {
    text = readFileSync(path, 'utf8')
  } catch (error) {
    throw new Trouble(`--passphrase-file ${path}: cannot be read: ${whyUnreadable(error)}`, exitStatus.wrongUse, error)
  }
  const passphrase = (text.split(/\r?\n/)[0] ?? '').trim()
  if ([...passphrase].length < shortestPassphrase)
    throw new Trouble(
      `--passphrase-file ${path}: its first line must hold at least ${shortestPassphrase} characters, a few words for instance`,
      exitStatus.wrongUse,
    )
  return passphrase
}
