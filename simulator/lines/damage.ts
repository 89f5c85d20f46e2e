import type { Chance } from '../random.ts'

/** Cuts a line at a chance place behind its first quarter. The line end stays unless it is lost too. */
export function cutLine(bytes: Buffer, lineEndBytes: number, losesLineEnd: boolean, by: Chance): Buffer {
  const body = bytes.length - lineEndBytes
  const kept = Math.floor(body / 4) + by.integer(Math.max(1, Math.floor(body / 2)))
  return losesLineEnd
    ? Buffer.from(bytes.subarray(0, kept))
    : Buffer.concat([bytes.subarray(0, kept), bytes.subarray(body)])
}

/** Puts one to four NUL bytes into the middle of a line. */
export function putNuls(bytes: Buffer, lineEndBytes: number, by: Chance): Buffer {
  const at = by.integer(Math.max(1, bytes.length - lineEndBytes))
  return Buffer.concat([bytes.subarray(0, at), Buffer.alloc(1 + by.integer(4)), bytes.subarray(at)])
}

/** 5 to 60 chance bytes, the line end’s own bytes left out, then the line end. */
export function garbage(lineEnd: Buffer, by: Chance): Buffer {
  const noise = Buffer.alloc(5 + by.integer(56))
  for (let index = 0; index < noise.length; index++) {
    const byte = by.integer(256)
    noise[index] = byte === 10 || byte === 13 ? 0x80 : byte
  }
  return Buffer.concat([noise, lineEnd])
}

/** A line of so many bytes, its line end included: the same figures again and again. */
export function overLong(length: number, lineEnd: Buffer): Buffer {
  const bytes = Buffer.alloc(length, '8.1;112;')
  lineEnd.copy(bytes, length - lineEnd.length)
  return bytes
}
