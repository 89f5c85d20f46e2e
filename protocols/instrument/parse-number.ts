import { byte, dropBlanks, isBlank } from './bytes.ts'

/** Numbers of this module's own: what belongs to another one is looked up anew each time, here for every byte of every line. */
const { zero, minus, plus } = byte

/** 10^0 … 10^22: the powers of ten that a double holds exactly. */
const powersOfTen = Float64Array.from({ length: 23 }, (_, power) => Number(`1e${power}`))
const largestExactPower = 22

/**
 * The number in bytes [start, end), to the bit what `Number(text)` gives; NaN where it is none or not finite.
 *
 * Allowed: blanks around, a sign, digits with at most one decimal mark (`decimal` as a byte), an exponent.
 * Not allowed, though `Number` takes them: nothing at all, hexadecimal, `Infinity`.
 * Up to 15 digits are summed exactly and scaled once by an exact power of ten, so that the one rounding is that
 * of IEEE 754 (W. D. Clinger, How to Read Floating Point Numbers Accurately, 1990); the rest goes to `Number`.
 */
export function parseNumber(bytes: Uint8Array, start: number, end: number, decimal: number): number {
  while (start < end && isBlank(bytes[start])) start++
  let at = start
  const sign = bytes[at]
  if (sign === minus || sign === plus) at++
  const first = at
  let mark = -1
  let sum = 0
  for (; at < end; at++) {
    const digit = (bytes[at] as number) - zero
    if (digit >= 0 && digit <= 9) sum = (Math.imul(sum, 10) + digit) | 0
    else if (mark < 0 && bytes[at] === decimal) mark = at
    else break
  }
  const digits = at - first - (mark < 0 ? 0 : 1)
  if (at === end && digits > 0 && digits <= 9) {
    const fraction = mark < 0 ? 0 : at - mark - 1
    const size = fraction === 0 ? sum : sum / (powersOfTen[fraction] as number)
    return sign === minus ? -size : size
  }
  if (digits === 0) return Number.NaN
  return parseLong(bytes, start, dropBlanks(bytes, start, end), first, at, mark)
}

/**
 * Reads the number at `start` whose end is not known: a sign, digits with at most one decimal mark, no exponent. Puts it into
 * `values[place]`, to the bit what `parseNumber` gives for its bytes; returns the place behind it, −1 where none stands there.
 */
export function readNumberAt(
  bytes: Uint8Array,
  start: number,
  end: number,
  decimal: number,
  values: Float64Array,
  place: number,
): number {
  const sign = bytes[start]
  let at = sign === minus || sign === plus ? start + 1 : start
  const first = at
  let sum = 0
  for (; at < end; at++) {
    const digit = (bytes[at] as number) - zero
    if (digit < 0 || digit > 9) break
    sum = (Math.imul(sum, 10) + digit) | 0
  }
  let digits = at - first
  let decimals = 0
  if (at < end && bytes[at] === decimal) {
    const behindMark = ++at
    for (; at < end; at++) {
      const digit = (bytes[at] as number) - zero
      if (digit < 0 || digit > 9) break
      sum = (Math.imul(sum, 10) + digit) | 0
    }
    decimals = at - behindMark
    digits += decimals
  }
  if (digits === 0) return -1
  if (digits > 9) values[place] = parseNumber(bytes, start, at, decimal)
  else {
    const size = decimals === 0 ? sum : sum / (powersOfTen[decimals] as number)
    values[place] = sign === minus ? -size : size
  }
  return at
}

/** The rest: more than nine digits, an exponent, blanks behind. [first, behind) holds digits and perhaps the mark. */
function parseLong(bytes: Uint8Array, start: number, end: number, first: number, behind: number, mark: number): number {
  const exponent = behind === end ? 0 : readExponent(bytes, behind, end)
  if (Number.isNaN(exponent)) return Number.NaN
  const digits = behind - first - (mark < 0 ? 0 : 1)
  const power = exponent - (mark < 0 ? 0 : behind - mark - 1)
  if (digits > 15 || Math.abs(power) > largestExactPower) return numberOfText(bytes, start, end, mark)
  let sum = 0
  for (let at = first; at < behind; at++) if (at !== mark) sum = sum * 10 + (bytes[at] as number) - zero
  const size = power < 0 ? sum / (powersOfTen[-power] as number) : sum * (powersOfTen[power] as number)
  return bytes[start] === minus ? -size : size
}

/** `e-3` → −3; NaN where it is no exponent. Large ones are cut to a size that is out of reach anyhow. */
function readExponent(bytes: Uint8Array, start: number, end: number): number {
  if (bytes[start] !== byte.lowerE && bytes[start] !== byte.upperE) return Number.NaN
  const sign = bytes[start + 1]
  let at = sign === minus || sign === plus ? start + 2 : start + 1
  if (at >= end) return Number.NaN
  let sum = 0
  for (; at < end; at++) {
    const digit = (bytes[at] as number) - zero
    if (digit < 0 || digit > 9) return Number.NaN
    sum = Math.min(sum * 10 + digit, 1_000_000)
  }
  return sign === minus ? -sum : sum
}

function numberOfText(bytes: Uint8Array, start: number, end: number, mark: number): number {
  let text = ''
  for (let at = start; at < end; at++) text += at === mark ? '.' : String.fromCharCode(bytes[at] as number)
  const value = Number(text)
  return Number.isFinite(value) ? value : Number.NaN
}
