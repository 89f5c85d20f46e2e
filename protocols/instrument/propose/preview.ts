import { faultWords, phaseWords, plantStateWords } from '../../words/phases.ts'
import { compileProfile } from '../compile-profile.ts'
import type { LineProfile } from '../profile.ts'
import { type FieldFlag, fieldFlag, type RefusalReason, type StatusTold } from '../reader.ts'
import { decodeText } from '../text-encoding.ts'

/** What one field of a line gave: a number, or why there is none. */
export interface ReadValue {
  readonly field: string
  readonly value: number | null
  readonly why: Exclude<keyof typeof fieldFlag, 'value'> | null
}

/** A raw line beside what a profile makes of it. */
export interface PreviewLine {
  readonly text: string
  readonly read:
    | {
        readonly ok: true
        /** ms since 1970 UTC; null where the profile has no time. */
        readonly timeMs: number | null
        readonly values: readonly ReadValue[]
        readonly status: readonly { readonly token: string; readonly tells: string | null }[]
      }
    | { readonly ok: false; readonly reason: RefusalReason; readonly detail: string }
}

export interface ReceivedLine {
  readonly bytes: Uint8Array
  readonly atMs: number
}

const whyOf = (flag: FieldFlag): ReadValue['why'] => {
  const [name] = Object.entries(fieldFlag).find(([, number]) => number === flag) ?? ['absent']
  return name === 'value' ? null : (name as ReadValue['why'])
}

/** What a status word tells, in words. */
const toldWords = ({ phase, fault, plant, clears }: Omit<StatusTold, 'token' | 'known'>): string =>
  phase
    ? phaseWords[phase]
    : fault
      ? `fault: ${faultWords[fault]}`
      : plant
        ? plantStateWords[plant]
        : clears
          ? 'no fault'
          : 'nothing'

/** Lines as the reader of the station reads them, in order; the profile must be sound. Never throws for any line. O(bytes). */
export function previewLines(profile: LineProfile, lines: readonly ReceivedLine[], stationZone: string): PreviewLine[] {
  const reader = compileProfile(profile, { stationZone, unendedCounts: true })
  return lines.map(({ bytes, atMs }) => {
    const outcome = reader.read(bytes, atMs, 'whole')
    const text = decodeText(bytes, 0, bytes.length, profile.encoding).replace(/[\r\n]+$/, '')
    if (!outcome.ok) return { text, read: { ok: false, reason: outcome.reason, detail: outcome.detail } }
    const { values, flags, lineTimeMs, status } = reader.content
    return {
      text,
      read: {
        ok: true,
        timeMs: Number.isNaN(lineTimeMs) ? null : lineTimeMs,
        values: profile.fields.map(({ name }, field) => {
          const flag = flags[field] as FieldFlag
          return { field: name, value: flag === fieldFlag.value ? (values[field] as number) : null, why: whyOf(flag) }
        }),
        status: status.map(({ token, known, phase, fault, clears, plant }) => ({
          token,
          tells: known ? toldWords({ phase, fault, plant, clears }) : null,
        })),
      },
    }
  })
}
