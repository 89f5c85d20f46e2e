/** `ENOENT` and the like; empty where an error has none. */
export const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : ''

/** Whether the system says that this user lacks the right. */
export const isForbidden = (error: unknown): boolean => /^(EACCES|EPERM)$/.test(codeOf(error))

/** What whoever named a file reads of why it cannot be read; of what is rare, what the system says. */
export function whyUnreadable(error: unknown): string {
  switch (codeOf(error)) {
    case 'ENOENT':
      return 'there is no such file'
    case 'ENOTDIR':
      return 'there is no such file: a part of its path is itself a file'
    case 'EISDIR':
      return 'it is a folder; a file is needed'
    case 'EACCES':
    case 'EPERM':
      return 'no permission to read it; let this user read it'
    default:
      return error instanceof Error ? error.message : String(error)
  }
}

/** The same of a file that cannot be written. */
export function whyUnwritable(error: unknown): string {
  const code = codeOf(error)
  if (code === 'ENOENT') return 'its folder does not exist'
  return code === 'EISDIR' ? 'it is a folder' : code
}
