import { readFileSync } from 'node:fs'
import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import { type LineProfile, lineProfile } from '../../protocols/instrument/profile.ts'
import { fieldFlag, type LineOutcome, type LineReader, type StatusTold } from '../../protocols/instrument/reader.ts'

const profilesFolder = new URL('../../protocols/instrument/profiles/', import.meta.url)
export const readyProfile = (name: string): LineProfile =>
  lineProfile.parse(JSON.parse(readFileSync(new URL(`${name}.json`, profilesFolder), 'utf8')))
export const readySample = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`${name}.sample.txt`, profilesFolder)))

/** A profile of `o2` and `co` in columns 0 and 1, or as the case needs it. */
export const aProfile = (settings: Record<string, unknown> = {}): LineProfile =>
  lineProfile.parse({
    form: 'delimited',
    name: 'test',
    fields: [
      { name: 'o2', at: 0 },
      { name: 'co', at: 1 },
    ],
    ...settings,
  })

export const aReader = (settings: Record<string, unknown> = {}, stationZone = 'UTC'): LineReader =>
  compileProfile(aProfile(settings), { stationZone })

/** 5 March 2024, 12:00 UTC. */
export const noon = Date.UTC(2024, 2, 5, 12)

/** What a line gave, as plain values that a test can compare: a number, or the name of the flag that stands for none. */
export interface Read {
  readonly refused: string | null
  readonly values: readonly (number | string)[]
  readonly status: readonly string[]
  readonly time: string | null
  readonly dilution: number
}

const nameOfFlag = (flag: number): string =>
  Object.entries(fieldFlag).find(([, number]) => number === flag)?.[0] ?? 'no such flag'
const nameOfStatus = ({ token, known }: StatusTold): string => (known ? token : `${token}?`)
export const toBytes = (line: string | Uint8Array): Uint8Array =>
  typeof line === 'string' ? new TextEncoder().encode(line) : line

export function readLine(reader: LineReader, line: string | Uint8Array, atMs = noon): Read {
  return result(reader, reader.read(toBytes(line), atMs, 'whole'))
}

export function result(reader: LineReader, outcome: LineOutcome): Read {
  const { values, flags, status, lineTimeMs, dilutionFactor } = reader.content
  if (!outcome.ok) return { refused: outcome.reason, values: [], status: [], time: null, dilution: Number.NaN }
  return {
    refused: null,
    values: Array.from(values, (value, field) =>
      flags[field] === fieldFlag.value ? value : nameOfFlag(flags[field] ?? -1),
    ),
    status: status.map(nameOfStatus),
    time: Number.isNaN(lineTimeMs) ? null : new Date(lineTimeMs).toISOString(),
    dilution: dilutionFactor,
  }
}

/** Lines with their ends; the last may be without. */
export function linesOf(bytes: Uint8Array): Uint8Array[] {
  const lines: Uint8Array[] = []
  for (let from = 0; from < bytes.length; ) {
    const end = bytes.indexOf(10, from)
    lines.push(bytes.subarray(from, end < 0 ? bytes.length : end + 1))
    from = end < 0 ? bytes.length : end + 1
  }
  return lines
}
