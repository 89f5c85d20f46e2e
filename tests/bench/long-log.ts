import { openData } from '../support/open-data.ts'

export type Form = 'kv' | 'delim'

export interface LongLog {
  readonly form: Form
  readonly bytes: Buffer
  readonly lines: number
  readonly startMs: number
}

/** One line per second, one repetition directly after the other: stamps rise without a gap. */
const startMs = Date.UTC(2012, 0, 24, 22)
const two = (value: number): string => String(value).padStart(2, '0')

const stamps: Record<Form, (at: Date) => string> = {
  kv: (at) => at.toISOString().slice(0, 19),
  delim: (at) =>
    `${two(at.getUTCDate())}/${two(at.getUTCMonth() + 1)}/${at.getUTCFullYear()};${two(at.getUTCHours())}.${two(at.getUTCMinutes())}.${two(at.getUTCSeconds())}`,
}

/**
 * The open night (NIST, clean-air and burn cycles at 1 Hz, US Government work), repeated to at least `lines` lines.
 */
export function longLog(form: Form, lines: number): LongLog {
  const [lineEnd, headerLines] = form === 'kv' ? ['\n', 0] : ['\r\n', 1]
  const night = openData(`nist-air-burn-cycles/night.${form}.log`)
    .toString('latin1')
    .split(lineEnd)
    .filter((line) => line !== '')
  const header = night.slice(0, headerLines)
  // What follows the stamp, which is as long in every line.
  const rests = night.slice(headerLines).map((line) => line.slice(19))
  const repetitions = Math.ceil(lines / rests.length)
  const chunks = [Buffer.from(header.map((line) => line + lineEnd).join(''), 'latin1')]
  for (let repetition = 0, at = startMs; repetition < repetitions; repetition++) {
    let text = ''
    for (const rest of rests) {
      text += stamps[form](new Date(at)) + rest + lineEnd
      at += 1000
    }
    chunks.push(Buffer.from(text, 'latin1'))
  }
  return { form, bytes: Buffer.concat(chunks), lines: repetitions * rests.length, startMs }
}

/** The log in chunks as a file is read in. */
export function* chunksOf({ bytes }: LongLog): Generator<Buffer> {
  const size = 1024 * 1024
  for (let at = 0; at < bytes.length; at += size) yield bytes.subarray(at, at + size)
}
