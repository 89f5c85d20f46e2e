import { isBlank, standsAt } from './bytes.ts'
import type { LineProfile } from './profile.ts'
import { encodeText } from './text-encoding.ts'

type ChecksumSettings = NonNullable<LineProfile['checksum']>
export type ChecksumVerdict = 'right' | 'wrong' | 'missing'

/** What each kind computes over bytes [start, end), and how many hexadecimal digits it is written with. */
const kinds: Record<
  ChecksumSettings['kind'],
  { readonly digits: number; sum(bytes: Uint8Array, start: number, end: number): number }
> = {
  'xor8-hex': {
    digits: 2,
    sum(bytes, start, end) {
      let sum = 0
      for (let at = start; at < end; at++) sum ^= bytes[at] as number
      return sum
    },
  },
  'sum8-hex': {
    digits: 2,
    sum(bytes, start, end) {
      let sum = 0
      for (let at = start; at < end; at++) sum = (sum + (bytes[at] as number)) & 0xff
      return sum
    },
  },
  /** Polynomial 0x8005 reflected (0xA001), start 0xFFFF. Source: MODBUS over serial line V1.02, 6.2.2; written here as a number, high digit first. */
  'crc16-modbus-hex': {
    digits: 4,
    sum(bytes, start, end) {
      let sum = 0xffff
      for (let at = start; at < end; at++) {
        sum ^= bytes[at] as number
        for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >>> 1) ^ 0xa001 : sum >>> 1
      }
      return sum
    },
  },
}

function hexDigit(byte: number): number {
  if (byte >= 48 && byte <= 57) return byte - 48
  const letter = byte | 0x20
  return letter >= 97 && letter <= 102 ? letter - 87 : -1
}

/** Checks lines against the sum that they carry. What the sum covers is what is read: text before it and the digits are cut off. */
export class Checksum {
  /** Of the line checked last: what the sum covers. The whole line where it carries none. */
  start = 0
  end = 0
  readonly #kind: (typeof kinds)[ChecksumSettings['kind']]
  readonly #startText: Uint8Array
  readonly #marker: Uint8Array

  constructor(settings: ChecksumSettings, encoding: LineProfile['encoding']) {
    this.#kind = kinds[settings.kind]
    this.#startText = encodeText(settings.start, encoding) ?? new Uint8Array()
    this.#marker = encodeText(settings.marker, encoding) ?? new Uint8Array()
  }

  /** `missing`: no start text, no marker, or something else than the digits behind the last marker. */
  check(bytes: Uint8Array, start: number, end: number): ChecksumVerdict {
    this.start = start
    this.end = end
    let last = end
    while (last > start && isBlank(bytes[last - 1])) last--
    const marker = last - this.#kind.digits - this.#marker.length
    if (marker < start || !standsAt(bytes, marker, last, this.#marker)) return 'missing'
    let told = 0
    for (let at = last - this.#kind.digits; at < last; at++) {
      const digit = hexDigit(bytes[at] as number)
      if (digit < 0) return 'missing'
      told = told * 16 + digit
    }
    let from = start
    while (from < marker && !standsAt(bytes, from, marker, this.#startText)) from++
    if (from === marker && this.#startText.length > 0) return 'missing'
    this.start = from + this.#startText.length
    this.end = marker
    return this.#kind.sum(bytes, this.start, this.end) === told ? 'right' : 'wrong'
  }
}
