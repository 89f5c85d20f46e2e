import { existsSync } from 'node:fs'
import { basename, extname } from 'node:path'
import { byte } from '../../protocols/instrument/bytes.ts'
import { plainProfile } from '../../protocols/instrument/propose/plain-profile.ts'
import { type PreviewLine, previewLines, type ReadValue } from '../../protocols/instrument/propose/preview.ts'
import { type Proposal, placeText } from '../../protocols/instrument/propose/proposal.ts'
import { proposeProfile } from '../../protocols/instrument/propose/propose.ts'
import { mostSampleLines } from '../../protocols/instrument/propose/sample.ts'
import { type RefusalReason, refusalWords } from '../../protocols/instrument/reader.ts'
import { writeWhole } from '../reports/atomic-file.ts'
import { readLogSync } from '../sources/read-log.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { print, printJson, say } from './printing.ts'

export interface ProposeCommandOptions {
  readonly json?: boolean
  readonly out?: string
}

const shownLines = 8
const setLineEnd =
  'the lines end with a carriage return alone, which no profile tells: set "lineEnd": "cr" at the source of the stream'

interface FirstLines {
  readonly lines: readonly Uint8Array[]
  /** Whether they end with a carriage return alone, where `auto` finds no end. */
  readonly endWithReturn: boolean
}

function firstLines(path: string): FirstLines {
  const read = (lineEnd: 'auto' | 'cr'): Uint8Array[] => {
    const lines: Uint8Array[] = []
    for (const { bytes } of readLogSync(path, { lineEnd })) {
      lines.push(Uint8Array.from(bytes))
      if (lines.length === mostSampleLines) break
    }
    return lines
  }
  const lines = read('auto')
  const endWithReturn =
    lines.some((line) => line.includes(byte.return)) && !lines.some((line) => line.includes(byte.lineFeed))
  return { lines: endWithReturn ? read('cr') : lines, endWithReturn }
}

/** `flueledger propose`: a line profile from sample lines, with what was guessed and what could not be named. Status 1 where no form fits. */
export async function propose(log: string, { json, out }: ProposeCommandOptions): Promise<number> {
  if (out !== undefined && existsSync(out))
    throw new Trouble(`${out} is there already: give another name, or remove it`)
  const { lines, endWithReturn } = firstLines(log)
  const found = proposeProfile(lines, { name: basename(log, extname(log)).slice(0, 80) || 'Proposed' })
  const proposal = found.ok && endWithReturn ? { ...found, unnamed: [...found.unnamed, setLineEnd] } : found
  if (!proposal.ok) {
    if (json) printJson(proposal)
    else tellNothing(proposal)
    return exitStatus.checkFailed
  }
  const profile = plainProfile(proposal.profile)
  if (out !== undefined) await writeWhole(out, `${JSON.stringify(profile, null, 2)}\n`)
  const preview = previewLines(
    proposal.profile,
    lines.slice(0, 40).map((bytes) => ({ bytes, atMs: Date.now() })),
    'UTC',
  )
  if (json) printJson({ ...proposal, profile, preview: preview.slice(0, shownLines) })
  else tell(proposal, profile, preview)
  if (out !== undefined) say(`${out} written; flueledger validate ${out} checks it after your changes`)
  return exitStatus.done
}

function tellNothing({ tried, kinds, lines }: Extract<ReturnType<typeof proposeProfile>, { ok: false }>): void {
  say(`no form fits these ${lines.given} lines. Tried:`)
  for (const { form, why } of tried) say(`  ${form}: ${why}`)
  if (kinds.length > 0)
    say(
      `the lines are of several kinds (${kinds.map(({ word, count }) => `${word} ${count}`).join(', ')}); a profile reads one: give the lines of one kind`,
    )
  else say('a profile written by hand may still read them: docs/line-profiles.md')
}

const percent = (share: number): string => `${Math.round(share * 100)} %`.padStart(5)

function tell(proposal: Proposal, profile: object, preview: readonly PreviewLine[]): void {
  print(JSON.stringify(profile, null, 2))
  say('')
  for (const line of preview.slice(0, shownLines)) {
    say(`  ${line.text.slice(0, 160)}`)
    say(`    ${lineInWords(line)}`)
  }
  const { given, read, harmless } = proposal.lines
  say('')
  say(`reads ${read} of ${given - harmless} lines (${harmless} more are comments, headings or blank)`)
  for (const [reason, count] of Object.entries(proposal.lines.refused))
    say(`  ${count} refused: ${refusalWords[reason as RefusalReason]}`)
  say('')
  say('guessed, with how sure that is:')
  for (const { what, value, confidence, reason } of proposal.guesses)
    say(`  ${percent(confidence)}  ${what}: ${value} (${reason})`)
  for (const { at, label, role, field, unit, confidence, reason } of proposal.columns)
    if (role === 'value' || role === 'status')
      say(`  ${percent(confidence)}  ${label || placeText(at)} → ${field}${unit ? ` in ${unit}` : ''} (${reason})`)
  if (proposal.unnamed.length > 0) {
    say('')
    say('only you can tell:')
    for (const sentence of proposal.unnamed) say(`  ${sentence}`)
  }
}

const valueInWords = ({ field, value, why }: ReadValue): string => `${field} ${value ?? why}`

function lineInWords({ read }: PreviewLine): string {
  if (!read.ok) return `not read: ${read.reason.replaceAll('_', ' ')}${read.detail ? `, ${read.detail}` : ''}`
  const time = read.timeMs === null ? [] : [new Date(read.timeMs).toISOString()]
  const told = read.values.filter(({ why }) => why !== 'absent').map(valueInWords)
  const status = read.status.map(({ token, tells }) => `${token} → ${tells ?? 'not known'}`)
  return [...time, ...told, ...status].join('  ')
}
