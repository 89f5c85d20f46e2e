import type { SimulatedLine } from '../night.ts'
import type { Sent } from '../sent.ts'

/** Called with sequence numbers when it is known what became of them. */
export type Tell = (sequences: Iterable<number>, sent: Sent) => void

/** Where lines go. Every line that was given to `write` is told about once, at the latest in `close`. */
export interface LineLink {
  readonly name: string
  /** Bytes that one `write` may hold. */
  readonly batchBytes: number
  /** Somebody listens, as far as the link can know. */
  readonly isUp: boolean
  /** Fails with a `LinkOutOfReach`. */
  open(): Promise<void>
  /** Resolves when somebody listens, or when the signal aborts. */
  whenUp(signal: AbortSignal): Promise<void>
  /** Resolves when the link takes more, when it is lost, or when the signal aborts. */
  write(lines: readonly SimulatedLine[], signal: AbortSignal): Promise<void>
  /** Tells of what has become sure by now. */
  settle(): void
  /** Scripted loss of the link and its return. */
  takeDown(): Promise<void>
  bringUp(): Promise<void>
  close(): Promise<void>
}

export class LinkOutOfReach extends Error {
  constructor(name: string, cause: unknown) {
    super(`${name} is out of reach: ${whyOutOfReach(cause)}`, { cause })
    this.name = 'LinkOutOfReach'
  }
}

function whyOutOfReach(cause: unknown): string {
  const text = cause instanceof Error ? cause.message : String(cause)
  // Of a serial port the system's words come without their code.
  if (/ENOENT|No such file or directory/.test(text)) return 'there is no such file or folder'
  if (/EISDIR|Is a directory/.test(text)) return 'it is a folder'
  if (/EACCES|Permission denied/.test(text)) return 'this user has no permission'
  return /EADDRINUSE/.test(text) ? 'another program listens there' : text
}

export const allBytes = (lines: readonly SimulatedLine[]): Buffer => Buffer.concat(lines.map((line) => line.bytes))
export const allSequences = (lines: readonly SimulatedLine[]): number[] => lines.map((line) => line.sequence)

/** Resolves when the signal aborts; `done` takes the listener away again. */
export function aborted(signal: AbortSignal): { readonly promise: Promise<void>; done(): void } {
  let listener = (): void => {}
  const promise = new Promise<void>((resolve) => {
    listener = resolve
    if (signal.aborted) resolve()
    else signal.addEventListener('abort', listener, { once: true })
  })
  return { promise, done: () => signal.removeEventListener('abort', listener) }
}
