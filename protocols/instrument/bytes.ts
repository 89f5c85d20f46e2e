/** The bytes that the forms look for; all encodings of a profile are the same below 0x80. */
export const byte = {
  tab: 9,
  lineFeed: 10,
  return: 13,
  blank: 32,
  plus: 43,
  minus: 45,
  point: 46,
  zero: 48,
  upperE: 69,
  lowerE: 101,
} as const

export const isDigit = (value: number | undefined): boolean =>
  value !== undefined && value >= byte.zero && value <= byte.zero + 9

/** Whether a text holds what may stand in a number: numbers that differ could then be cut at it in different ways. */
export const isPartOfNumber = (text: string, decimal: string): boolean =>
  text.includes(decimal) || /[0-9eE+-]/.test(text)

export const isBlank = (value: number | undefined): boolean => value === byte.blank || value === byte.tab

/** The first place in [start, end) that holds no blank; `end` where all are blank. */
export function skipBlanks(bytes: Uint8Array, start: number, end: number): number {
  while (start < end && isBlank(bytes[start])) start++
  return start
}

/** The place behind the last byte in [start, end) that is no blank; `start` where all are blank. */
export function dropBlanks(bytes: Uint8Array, start: number, end: number): number {
  while (end > start && isBlank(bytes[end - 1])) end--
  return end
}

/** Whether `text` stands at `at`, all of it before `end`. */
export function standsAt(bytes: Uint8Array, at: number, end: number, text: Uint8Array): boolean {
  if (at + text.length > end) return false
  for (let index = 0; index < text.length; index++) if (bytes[at + index] !== text[index]) return false
  return true
}

/** Whether [start, end) is `text`, neither more nor less. */
export const isText = (bytes: Uint8Array, start: number, end: number, text: Uint8Array): boolean =>
  end - start === text.length && standsAt(bytes, start, end, text)

/** Bytes [start, end) of their own. (`slice` of some arrays of bytes gives a view into memory that the next line overwrites.) */
export const copyOf = (bytes: Uint8Array, start: number, end: number): Uint8Array =>
  new Uint8Array(bytes.subarray(start, end))
