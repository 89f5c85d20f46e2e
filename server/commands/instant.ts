import { z } from 'zod'
import { Trouble } from '../trouble.ts'

const withOffset = z.iso.datetime({ offset: true })

/**
 * A flag's time → ms since 1970, UTC. It must tell its offset: without one it would be read in the zone of the machine that
 * happens to run the command, which need not be the station's.
 */
export function instantOf(flag: string, text: string): number {
  if (withOffset.safeParse(text).success) return Date.parse(text)
  throw new Trouble(
    `${flag} ${text}: is not a time as 2026-11-20T18:00:00Z or 2026-11-20T19:00:00+01:00, with its offset`,
  )
}
