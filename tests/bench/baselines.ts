import { chunksOf, type LongLog } from './long-log.ts'

/** What both bare loops return, so that no work can be left out: how many numbers, and their sum. */
export interface Summed {
  readonly numbers: number
  readonly sum: number
}

/** The plainest loop that one would write: text, lines, fields, numbers. It reads no time, no status, and checks nothing. */
export function splitAndConvert(log: LongLog): Summed {
  let numbers = 0
  let sum = 0
  let left = ''
  for (const chunk of chunksOf(log)) {
    const lines = (left + chunk.toString('latin1')).split('\n')
    left = lines.pop() ?? ''
    for (const line of lines) {
      const fields = log.form === 'kv' ? line.split(' ') : line.split(';')
      for (let at = 2; at < fields.length; at++) {
        const field = fields[at] as string
        const value =
          log.form === 'kv'
            ? Number(field.slice(field.indexOf('=') + 1))
            : Number(field.trim().replace(',', '.') || Number.NaN)
        if (Number.isNaN(value)) continue
        numbers++
        sum += value
      }
    }
  }
  return { numbers, sum }
}

/** Every run of digits in the bytes, with its decimals, as a number; no lines, no fields, no text: about as little as can be done. */
export function digitsOnly(log: LongLog): Summed {
  const decimal = log.form === 'kv' ? 0x2e : 0x2c
  let numbers = 0
  let sum = 0
  let value = 0
  let scale = 0
  let isOpen = false
  for (const chunk of chunksOf(log)) {
    for (let at = 0; at < chunk.length; at++) {
      const byte = chunk[at] as number
      const digit = byte - 0x30
      if (digit >= 0 && digit <= 9) {
        value = value * 10 + digit
        scale *= 10
        isOpen = true
      } else if (isOpen && byte === decimal) scale = 1
      else if (isOpen) {
        numbers++
        sum += scale > 1 ? value / scale : value
        value = scale = 0
        isOpen = false
      }
    }
  }
  return { numbers, sum }
}
