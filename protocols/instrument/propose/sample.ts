import { byte } from '../bytes.ts'
import { longestLineBytes } from '../reader.ts'
import { decodeText, type Encoding, isUtf8 } from '../text-encoding.ts'
import type { Guess } from './proposal.ts'

/** More lines than this are not looked at: what a proposal can learn, it learns from these. */
export const mostSampleLines = 5000

export interface SampleLine {
  /** Without line end and byte order mark. */
  readonly bytes: Uint8Array
  readonly text: string
}
export interface Sample {
  readonly encoding: Encoding
  readonly guess: Guess
  /** Lines that look like text, in order. */
  readonly lines: readonly SampleLine[]
  /** Blank lines among the first `rowsBefore` rows count for `skipLines`: the row of each line in the file. */
  readonly rows: readonly number[]
  readonly garbled: number
}

function trimmed(bytes: Uint8Array, isFirst: boolean): Uint8Array {
  let start = 0
  let end = bytes.length
  while (end > 0 && (bytes[end - 1] === byte.lineFeed || bytes[end - 1] === byte.return)) end--
  while (start < end && (bytes[start] === byte.lineFeed || bytes[start] === byte.return)) start++
  if (isFirst && bytes[start] === 0xef && bytes[start + 1] === 0xbb && bytes[start + 2] === 0xbf) start += 3
  return bytes.subarray(start, Math.max(start, end))
}

interface Looks {
  readonly isBlank: boolean
  readonly isGarbled: boolean
  readonly high: number
  readonly hasC1: boolean
}

/** Control characters are no text; a third of high bytes that are no UTF-8 is none either. */
function looksOf(bytes: Uint8Array): Looks {
  let controls = 0
  let blanks = 0
  let high = 0
  let hasC1 = false
  for (const value of bytes) {
    if (value === byte.blank || value === byte.tab) blanks++
    else if (value < 0x20 || value === 0x7f) controls++
    else if (value >= 0x80) {
      high++
      hasC1 ||= value <= 0x9f
    }
  }
  const isGarbled =
    controls > 0 || bytes.length > longestLineBytes || (high * 3 > bytes.length && !isUtf8(bytes, 0, bytes.length))
  return { isBlank: blanks === bytes.length, isGarbled, high, hasC1 }
}

function encodingOf(valid: number, invalid: number, hasC1: boolean): { encoding: Encoding; guess: Guess } {
  const told = (encoding: Encoding, confidence: number, reason: string) => ({
    encoding,
    guess: { what: 'encoding', value: encoding, confidence, reason },
  })
  if (valid + invalid === 0) return told('utf-8', 0.9, 'plain ASCII, the same in every encoding')
  if (valid > invalid) return told('utf-8', 0.95, `${valid} lines with signs beyond ASCII are well-formed UTF-8`)
  return told(
    'windows-1252',
    hasC1 ? 0.8 : 0.7,
    hasC1
      ? 'signs beyond ASCII that are no UTF-8, some of them only in windows-1252'
      : 'signs beyond ASCII that are no UTF-8; latin-1 would read them alike',
  )
}

/** The first lines of a stream as text. O(bytes). */
export function sampleOf(given: readonly Uint8Array[]): Sample {
  const looked = given.slice(0, mostSampleLines).map((line, row) => {
    const bytes = trimmed(line, row === 0)
    return { bytes, row, ...looksOf(bytes) }
  })
  const sound = looked.filter(({ isGarbled, isBlank }) => !isGarbled && !isBlank)
  const beyond = sound.filter(({ high }) => high > 0)
  const valid = beyond.filter(({ bytes }) => isUtf8(bytes, 0, bytes.length)).length
  const { encoding, guess } = encodingOf(
    valid,
    beyond.length - valid,
    beyond.some(({ hasC1 }) => hasC1),
  )
  return {
    encoding,
    guess,
    lines: sound.map(({ bytes }) => ({ bytes, text: decodeText(bytes, 0, bytes.length, encoding) })),
    rows: sound.map(({ row }) => row),
    garbled: looked.filter(({ isGarbled }) => isGarbled).length,
  }
}
