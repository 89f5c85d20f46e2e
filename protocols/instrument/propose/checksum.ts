import { Checksum } from '../checksum.ts'
import type { LineProfile } from '../profile.ts'
import type { Encoding } from '../text-encoding.ts'
import type { Guess } from './proposal.ts'
import type { SampleLine } from './sample.ts'

type ChecksumSettings = NonNullable<LineProfile['checksum']>
const kinds: readonly { readonly kind: ChecksumSettings['kind']; readonly digits: number }[] = [
  { kind: 'xor8-hex', digits: 2 },
  { kind: 'sum8-hex', digits: 2 },
  { kind: 'crc16-modbus-hex', digits: 4 },
]

/** The character before so many hexadecimal digits at the end of most lines, if it is a sign and no letter or digit. */
function markerBefore(lines: readonly SampleLine[], digits: number): string | null {
  const counts = new Map<string, number>()
  const ending = new RegExp(`[^0-9A-Za-z\\s][0-9A-Fa-f]{${digits}}$`)
  for (const { text } of lines) {
    const end = text.slice(-40).trimEnd()
    if (ending.test(end)) {
      const marker = end.at(-digits - 1) ?? ''
      counts.set(marker, (counts.get(marker) ?? 0) + 1)
    }
  }
  const [most] = [...counts].sort(([, one], [, other]) => other - one)
  return most && most[1] * 10 >= lines.length * 8 ? most[0] : null
}

/** The sign that most lines begin with, empty where that is a letter or digit. */
function startOf(lines: readonly SampleLine[]): string {
  const counts = new Map<string, number>()
  for (const { text } of lines) counts.set(text[0] ?? '', (counts.get(text[0] ?? '') ?? 0) + 1)
  const [most] = [...counts].sort(([, one], [, other]) => other - one)
  return most && most[1] * 2 > lines.length && /^[^0-9A-Za-z\s{[]$/.test(most[0]) ? most[0] : ''
}

export interface ChecksumGuess {
  readonly settings: ChecksumSettings | null
  readonly guesses: readonly Guess[]
  /** The lines, cut to what their sum covers; those with a wrong sum or none are left out. */
  readonly lines: readonly SampleLine[]
}

/** A checksum that at least four of five lines carry rightly. By chance two digits fit one line in 256. */
export function guessChecksum(lines: readonly SampleLine[], encoding: Encoding): ChecksumGuess {
  const starts = [...new Set([startOf(lines), ''])]
  for (const { kind, digits } of kinds) {
    const marker = markerBefore(lines, digits)
    for (const start of marker === null ? [] : starts) {
      const settings: ChecksumSettings = { kind, start, marker: marker ?? '*', required: true }
      const sum = new Checksum(settings, encoding)
      const covered = lines.flatMap(({ bytes, text }) => {
        if (sum.check(bytes, 0, bytes.length) !== 'right') return []
        const cut = text.slice(text.indexOf(start) + start.length, text.lastIndexOf(settings.marker))
        return [{ bytes: bytes.subarray(sum.start, sum.end), text: cut }]
      })
      if (covered.length * 5 >= lines.length * 4 && covered.length >= 2)
        return {
          settings,
          lines: covered,
          guesses: [
            {
              what: 'checksum',
              value: `${kind}${start ? ` from “${start}”` : ''} to “${settings.marker}”`,
              confidence: 0.99,
              reason: `${covered.length} of ${lines.length} lines carry the right one`,
            },
          ],
        }
    }
  }
  return { settings: null, guesses: [], lines }
}
