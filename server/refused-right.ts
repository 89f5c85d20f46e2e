import { accessSync } from 'node:fs'
import { isForbidden } from './file-trouble.ts'

/** What the system says where this user lacks these rights (`constants.R_OK` and its like) to a path; null where not, or where there is nothing. */
export function refusedRight(path: string, rights: number): unknown {
  try {
    accessSync(path, rights)
    return null
  } catch (error) {
    return isForbidden(error) ? error : null
  }
}
