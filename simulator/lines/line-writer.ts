import type { LineProfile } from '../../protocols/instrument/profile.ts'
import { withChecksum } from './checksum.ts'
import { delimiterOf, layoutOf } from './layout.ts'
import { timeText } from './time-text.ts'

/** A number, a word as it stands, or nothing (the profile’s token for “no value”). */
export type Written = number | string | null

export interface LineWriter {
  /** values: one per field of the profile, in its order. Returns the bytes with the line end. */
  line(values: readonly Written[], instrumentMs: number): Buffer
  /** Any text with the line end. */
  text(of: string): Buffer
  /** Titles, headings and units, where the profile has them. */
  readonly opening: readonly Buffer[]
}

export interface LineWriterOptions {
  /** Zone for times that the profile leaves to the station. */
  readonly stationZone: string
  readonly lineEnd: 'cr' | 'lf' | 'crlf'
  /** For the form `pattern`. */
  readonly template?: string | undefined
  /** Decimals per field of the profile. */
  readonly decimals: readonly number[]
}

const lineEnds = { cr: '\r', lf: '\n', crlf: '\r\n' }

/**
 * Writes lines in the form of any line profile. A number too wide for its column becomes asterisks (common practice).
 * Windows-1252 differs from Latin-1 in signs that no instrument text here uses, so both are written as Latin-1.
 */
export function lineWriter(profile: LineProfile, options: LineWriterOptions): LineWriter {
  const layout = layoutOf(profile, options.template ?? '')
  const end = lineEnds[options.lineEnd]
  const encoding = profile.encoding === 'utf-8' ? 'utf8' : 'latin1'
  const encode = (text: string): Buffer => Buffer.from(text, encoding)
  const zone = profile.time?.zone === 'station' ? options.stationZone : (profile.time?.zone ?? 'UTC')
  const clock = profile.time ? timeText(profile.time.format, zone) : null
  const isTwoFields = (profile.time?.fields.length ?? 0) > 1
  const finishing = finish(profile)
  const missing = profile.form === 'json-lines' ? null : (profile.missing.find((token) => token !== '') ?? '')
  const tokens = profile.fields.map((field) => field.missing?.[0] ?? missing)

  function fieldText(value: Written, index: number): string {
    if (typeof value !== 'number') return finishing.word(value ?? tokens[index] ?? null)
    const digits = value.toFixed(options.decimals[index] ?? 0)
    return finishing.number(
      (profile.decimal === ',' ? digits.replace('.', ',') : digits) + (profile.fields[index]?.unitSuffix ?? ''),
    )
  }

  const terminated = (body: string): Buffer =>
    encode((profile.checksum ? withChecksum(body, profile.checksum, encode) : body) + end)
  const opening: Buffer[] = []
  for (let row = 0; row < profile.skipLines; row++) opening.push(encode(`invented data ${row + 1}${end}`))
  if (profile.form === 'delimited') {
    for (const row of [layout.headings, layout.units])
      if (row) opening.push(encode(row.map(finishing.word).join(delimiterOf(profile)) + end))
  }

  return {
    opening,
    text: (of) => encode(of + end),
    line(values, instrumentMs) {
      const time = clock ? clock(instrumentMs) : ''
      const blank = isTwoFields ? time.indexOf(' ') : -1
      let body = ''
      for (const place of layout.places) {
        if ('text' in place) body += place.text
        else if ('time' in place)
          body += within(
            finishing.word(blank < 0 ? time : place.time === 0 ? time.slice(0, blank) : time.slice(blank + 1)),
            place.width,
          )
        else body += within(fieldText(values[place.field] ?? null, place.field), place.width)
      }
      return terminated(body)
    },
  }
}

const within = (text: string, width: number | undefined): string =>
  width === undefined ? text : text.length > width ? '*'.repeat(width) : text.padStart(width)

/** How a form dresses words and numbers: quotes where it needs them. */
function finish(profile: LineProfile): { word(of: string | null): string; number(of: string): string } {
  if (profile.form === 'json-lines') {
    const isPlain = profile.decimal === '.' && profile.fields.every((field) => field.unitSuffix === undefined)
    return { word: (of) => JSON.stringify(of), number: (of) => (isPlain ? of : JSON.stringify(of)) }
  }
  if (profile.form !== 'delimited' || profile.quote === '') return { word: (of) => of ?? '', number: (of) => of }
  const { quote } = profile
  const delimiter = delimiterOf(profile)
  const dress = (of: string): string =>
    of.includes(delimiter) || of.includes(quote) ? quote + of.replaceAll(quote, quote + quote) + quote : of
  return { word: (of) => dress(of ?? ''), number: dress }
}
