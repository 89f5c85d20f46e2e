/** The exit statuses that other people's scripts rely on. */
export const exitStatus = {
  done: 0,
  checkFailed: 1,
  wrongUse: 2,
  dataFolderInUse: 3,
  sourceOutOfReach: 4,
  diskFull: 6,
  defect: 70,
  interrupted: 130,
} as const
export type ExitStatus = (typeof exitStatus)[keyof typeof exitStatus]

/** Something expected to happen that this command cannot mend: what, where, and the way out. */
export class Trouble extends Error {
  override readonly name = 'Trouble'
  readonly status: ExitStatus

  constructor(text: string, status: ExitStatus = exitStatus.wrongUse, cause?: unknown) {
    super(text, cause === undefined ? undefined : { cause })
    this.status = status
  }
}

/** Troubles of the rooms, by their codes, as exit statuses. */
const statusOfCode: Readonly<Record<string, ExitStatus>> = {
  'data-folder-in-use': exitStatus.dataFolderInUse,
  'disk-full': exitStatus.diskFull,
  'recording-damaged': exitStatus.checkFailed,
}

export function statusOf(error: unknown): ExitStatus {
  if (error instanceof Trouble) return error.status
  if (!(error instanceof Error) || !/Trouble$/.test(error.name) || !('code' in error)) return exitStatus.defect
  return statusOfCode[String(error.code)] ?? exitStatus.wrongUse
}
