import type { LineProfile } from './profile.ts'

export type Encoding = LineProfile['encoding']

/** What windows-1252 holds at 0x80…0x9F; 0 where nothing stands. Source: CP1252.TXT of the Unicode Consortium’s mapping tables. (Node 20’s `TextDecoder` reads windows-1252 as latin-1.) */
const windows1252 = [
  0x20ac, 0, 0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0, 0x017d, 0, 0,
  0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0, 0x017e, 0x0178,
]
const utf8Encoder = new TextEncoder()
const utf8Decoder = new TextDecoder('utf-8', { ignoreBOM: true })

function byteOf(character: number, encoding: Encoding): number {
  const special = encoding === 'windows-1252' && character !== 0 ? windows1252.indexOf(character) : -1
  if (special >= 0) return 0x80 + special
  const isTaken =
    encoding === 'windows-1252' && character >= 0x80 && character <= 0x9f && windows1252[character - 0x80] !== 0
  return character < 0x100 && !isTaken ? character : -1
}

/** The bytes of a text of the profile; null where the encoding has no place for one of its characters. */
export function encodeText(text: string, encoding: Encoding): Uint8Array | null {
  if (encoding === 'utf-8') return utf8Encoder.encode(text)
  const bytes = Array.from(text, (character) => byteOf(character.codePointAt(0) ?? 0, encoding))
  return bytes.includes(-1) ? null : Uint8Array.from(bytes)
}

/** bytes [start, end) as text. Never throws: what is broken becomes U+FFFD; bytes that windows-1252 leaves free keep their number. */
export function decodeText(bytes: Uint8Array, start: number, end: number, encoding: Encoding): string {
  if (encoding === 'utf-8') return utf8Decoder.decode(bytes.subarray(start, end))
  let text = ''
  for (let at = start; at < end; at++) {
    const byte = bytes[at] as number
    const special = encoding === 'windows-1252' && byte >= 0x80 && byte <= 0x9f ? windows1252[byte - 0x80] : 0
    text += String.fromCharCode(special || byte)
  }
  return text
}

const within = (byte: number | undefined, low: number, high: number): boolean =>
  byte !== undefined && byte >= low && byte <= high

/**
 * Whether bytes [start, end) are well-formed UTF-8: nothing overlong, no surrogates, nothing past U+10FFFF.
 * Source: The Unicode Standard, table 3-7 (well-formed byte sequences); RFC 3629, section 4.
 */
export function isUtf8(bytes: Uint8Array, start: number, end: number): boolean {
  let at = start
  while (at < end) {
    const lead = bytes[at++] as number
    if (lead < 0x80) continue
    const following = within(lead, 0xc2, 0xdf) ? 1 : within(lead, 0xe0, 0xef) ? 2 : within(lead, 0xf0, 0xf4) ? 3 : 0
    if (following === 0 || at + following > end) return false
    const low = lead === 0xe0 ? 0xa0 : lead === 0xf0 ? 0x90 : 0x80
    const high = lead === 0xed ? 0x9f : lead === 0xf4 ? 0x8f : 0xbf
    if (!within(bytes[at], low, high)) return false
    for (let next = 1; next < following; next++) if (!within(bytes[at + next], 0x80, 0xbf)) return false
    at += following
  }
  return true
}
