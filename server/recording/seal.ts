import { createHash } from 'node:crypto'
import type { RecordingHeader } from './recording.ts'

/** A link of the chain: it covers the inputs from `firstSequence` to `lastSequence`, both included, and the seal before it. */
export interface Seal {
  readonly number: number
  readonly firstSequence: number
  readonly lastSequence: number
  /** Hash of the seal before; 64 zeros in the first. SHA-256 as 64 lower-case hexadecimal digits, as `hash`. */
  readonly previous: string
  readonly hash: string
  /** Wall clock when it was made. */
  readonly madeMs: number
}

export const noPrevious = '0'.repeat(64)

/**
 * A seal covers no more inputs than this, so that a changed line is placed to within so many (our choice: a live stream
 * seals a line or two at a time, an import gets a seal for each few kilobytes).
 */
export const sealLongest = 256

export const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex')

/** A text that may hold anything, after its length in bytes: no other content can give the same sealed text. */
const counted = (text: string): string => `${Buffer.byteLength(text)}:${text}`

/** Sealed text of one line; `hex`: its bytes in lower-case hexadecimal digits. The layout is fixed: docs/recording-format.md. */
export const sealedLine = (
  sequence: number,
  atMs: number,
  monotonicMs: number,
  piece: string,
  stream: string,
  hex: string,
): string => `line ${sequence} ${atMs} ${monotonicMs} ${counted(piece)} ${counted(stream)} ${hex}\n`

export const sealedEvent = (sequence: number, atMs: number, monotonicMs: number, kind: string, body: string): string =>
  `event ${sequence} ${atMs} ${monotonicMs} ${counted(kind)} ${counted(body)}\n`

/** What the first seal covers; it is made together with the recording. */
export function sealedHeader(header: RecordingHeader): string {
  const [number, of] = header.numberOfRuns
  return (
    `header ${counted(header.runName)} ${counted(header.station)} ${header.madeMs} ${counted(header.engineVersion)} ` +
    `${header.standby ? 1 : 0} ${header.invented ? 1 : 0} ${counted(header.origin)} ${number} ${of}\n` +
    `settings ${sha256(header.settings)}\n`
  )
}

/** The hash of a seal over the sealed text of what it covers, in order of the sequence numbers. */
export const sealHash = (seal: Omit<Seal, 'hash'>, covered: string): string =>
  sha256(
    `previous ${seal.previous}\nseal ${seal.number} ${seal.firstSequence} ${seal.lastSequence} ${seal.madeMs}\n${covered}`,
  )

/** The seal of a new recording: it covers what the recording says of itself, and no input yet. */
export function firstSeal(header: RecordingHeader): Seal {
  const seal = { number: 1, firstSequence: 1, lastSequence: 0, previous: noPrevious, madeMs: header.madeMs }
  return { ...seal, hash: sealHash(seal, sealedHeader(header)) }
}

/** The seal that follows `previous` over the inputs from `firstSequence` to `lastSequence`. */
export function nextSeal(
  previous: Seal,
  firstSequence: number,
  lastSequence: number,
  madeMs: number,
  covered: string,
): Seal {
  const seal = { number: previous.number + 1, firstSequence, lastSequence, previous: previous.hash, madeMs }
  return { ...seal, hash: sealHash(seal, covered) }
}
