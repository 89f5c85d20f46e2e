import type { LineProfile } from '../../protocols/instrument/profile.ts'

type Checksum = NonNullable<LineProfile['checksum']>

const hexadecimal = (value: number, digits: number): string => value.toString(16).toUpperCase().padStart(digits, '0')

const sums: Record<Checksum['kind'], (bytes: Uint8Array) => string> = {
  'xor8-hex'(bytes) {
    let sum = 0
    for (const byte of bytes) sum ^= byte
    return hexadecimal(sum, 2)
  },
  'sum8-hex'(bytes) {
    let sum = 0
    for (const byte of bytes) sum = (sum + byte) & 0xff
    return hexadecimal(sum, 2)
  },
  /** Source: MODBUS over Serial Line V1.02, 6.2.2: start 0xFFFF, polynomial 0xA001 (reflected). Written as a number, high digits first. */
  'crc16-modbus-hex'(bytes) {
    let sum = 0xffff
    for (const byte of bytes) {
      sum ^= byte
      for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >>> 1) ^ 0xa001 : sum >>> 1
    }
    return hexadecimal(sum, 4)
  },
}

/** The line with what stands before and after the summed part. */
export function withChecksum(body: string, checksum: Checksum, encode: (text: string) => Buffer): string {
  return `${checksum.start}${body}${checksum.marker}${sums[checksum.kind](encode(body))}`
}
