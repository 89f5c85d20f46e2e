import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'

/** The open data beside the checkout, or where FLUELEDGER_SHARED_DATA says. Fails with the place that it looked at: a check that skips itself proves nothing. */
export function sharedData(path: string): Buffer {
  const folder = process.env.FLUELEDGER_SHARED_DATA ?? resolve(process.cwd(), '..', 'shared', 'data')
  const file = resolve(folder, path)
  if (!existsSync(file))
    throw new Error(`the open data are missing: ${file} does not exist; set FLUELEDGER_SHARED_DATA to their folder`)
  return readFileSync(file)
}
