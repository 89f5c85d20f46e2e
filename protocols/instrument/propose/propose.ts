import { checkProfile } from '../check-profile.ts'
import type { Form } from '../form.ts'
import { type LineProfile, lineProfile } from '../profile.ts'
import { guessChecksum } from './checksum.ts'
import { describeColumns } from './columns.ts'
import { guessComments } from './comments.ts'
import { delimitedLayout, delimiters } from './delimited-layout.ts'
import { fixedLayout } from './fixed-layout.ts'
import { jsonLayout } from './json-layout.ts'
import { keyValueLayout } from './key-value-layout.ts'
import { areInTurn, kindsOf } from './kinds.ts'
import { guessDecimal } from './numbers.ts'
import { patternLayout } from './pattern-layout.ts'
import type { Guess, Layout, LayoutResult, NoProposal, Proposal } from './proposal.ts'
import { mostSampleLines, type Sample, sampleOf } from './sample.ts'
import { statusLine } from './status-words.ts'
import { timeColumns } from './time-columns.ts'
import { type Trial, tryProfile } from './trial.ts'

export interface ProposeOptions {
  /** The profile’s name. */
  readonly name?: string
  /** The lines come from a link that may be opened anywhere: columns are found by position, for no header can be counted on. */
  readonly byPosition?: boolean
}

/** A proposal that reads less of the lines than this is none. */
const leastShare = 0.5

interface Candidate {
  readonly layout: Layout
  readonly profile: LineProfile
  readonly proposal: Omit<Proposal, 'lines' | 'confidence' | 'stepSeconds' | 'profile' | 'ok'>
  readonly trial: Trial
  readonly share: number
  readonly score: number
}

/**
 * A line profile proposed from sample lines, with what was guessed, how sure that is, and what could not be named.
 * Each form is tried; the one that reads most of the lines is taken, for the guess is held against the reader itself.
 * Deterministic; O(bytes of the first 5000 lines); never throws, whatever the bytes.
 */
export function proposeProfile(given: readonly Uint8Array[], options: ProposeOptions = {}): Proposal | NoProposal {
  const lines = given.slice(0, mostSampleLines)
  const sample = sampleOf(lines)
  const { comment, guesses: comments } = guessComments(sample.lines.map(({ text }) => text))
  const isData = sample.lines.map(({ text }) => !comment.some((mark) => text.startsWith(mark)))
  const checksum = guessChecksum(
    sample.lines.filter((_, place) => isData[place]),
    sample.encoding,
  )
  const data: Sample = {
    ...sample,
    lines: checksum.lines,
    rows: sample.rows.filter((_, place) => isData[place]),
  }
  const first: Guess[] = [sample.guess, ...comments, ...checksum.guesses]
  const frame = { name: options.name ?? 'Proposed', encoding: sample.encoding, comment, checksum: checksum.settings }
  const texts = data.lines.map(({ text }) => text)
  const results = texts.length === 0 ? [] : layoutsOf(data, options.byPosition ?? false)
  const areMixed = areInTurn(texts)
  const tried: { form: Form; why: string }[] = []
  let best: Candidate | null = null
  for (const result of results) {
    if ('why' in result) {
      tried.push(result)
      continue
    }
    const candidate = areMixed
      ? 'lines of several kinds follow each other in turn'
      : candidateOf(result, frame, first, lines)
    if (typeof candidate === 'string') tried.push({ form: result.form, why: candidate })
    else if (best === null || candidate.score > best.score) best = candidate
  }
  if (best === null)
    return {
      ok: false,
      tried: tried.length > 0 ? tried : nothingToTry(lines),
      kinds: kindsOf(texts),
      lines: { given: lines.length },
    }
  return finished(best, lines)
}

/** Text that spends two bytes on each sign: told by how a file begins, or since every other byte of plain text is NUL. */
function isUtf16(line: Uint8Array): boolean {
  const [one, two] = line
  if ((one === 0xff && two === 0xfe) || (one === 0xfe && two === 0xff)) return true
  const nuls = line.filter((value) => value === 0).length
  return line.length >= 8 && nuls * 5 >= line.length * 2
}

const nothingToTry = (lines: readonly Uint8Array[]): { form: Form; why: string }[] => [
  {
    form: 'delimited',
    why: lines.slice(0, 20).some(isUtf16)
      ? 'the file is UTF-16, which no profile reads: save it as UTF-8'
      : 'there is no line of text among these',
  },
]

function layoutsOf(data: Sample, byPosition: boolean): LayoutResult[] {
  const json = jsonLayout(data.lines)
  // Lines of JSON hold commas, colons and blanks: no other form has to be looked at.
  if (!('why' in json)) return [json]
  return [
    json,
    keyValueLayout(data.lines),
    ...delimiters.map((delimiter) => delimitedLayout(data.lines, data, delimiter, byPosition)),
    fixedLayout(data.lines, data.encoding),
    patternLayout(data.lines),
  ]
}

interface Frame {
  readonly name: string
  readonly encoding: Sample['encoding']
  readonly comment: readonly string[]
  readonly checksum: LineProfile['checksum'] | null
}

/** The profile that a form leads to, tried on the lines; a string says why it is none. */
function candidateOf(
  layout: Layout,
  frame: Frame,
  first: readonly Guess[],
  lines: readonly Uint8Array[],
): Candidate | string {
  const times = timeColumns(layout.columns)
  const delimiter = String(layout.settings.delimiter ?? layout.settings.between ?? '')
  const { decimal, guess } = guessDecimal(layout.columns, new Set([...times.taken, ...times.left]))
  const described = describeColumns(layout.columns, times.taken, decimal)
  if (!described.columns.some(({ role }) => role === 'value')) return 'no column holds numbers'
  const { missing, over, under } = described.tokens
  const parsed = lineProfile.safeParse({
    form: layout.form,
    name: frame.name,
    encoding: frame.encoding,
    ...layout.settings,
    decimal,
    ...(frame.comment.length > 0 ? { comment: frame.comment } : {}),
    ...(times.settings ? { time: times.settings } : {}),
    fields: described.fields,
    ...(missing.length > 5 ? { missing } : {}),
    ...(over.length > 0 ? { over } : {}),
    ...(under.length > 0 ? { under } : {}),
    status: described.status,
    ...(frame.checksum ? { checksum: frame.checksum } : {}),
  })
  if (!parsed.success) return parsed.error.issues[0]?.message ?? 'the profile would not be sound'
  const [problem] = checkProfile(parsed.data)
  if (problem) return `${problem.path}: ${problem.message}`
  const trial = tryProfile(parsed.data, lines)
  const share = trial.given === trial.harmless ? 0 : trial.read / (trial.given - trial.harmless)
  if (share < leastShare || trial.values === 0)
    return `${trial.read} of ${trial.given - trial.harmless} lines would be read`
  const useful = described.columns.filter(({ role }) => role !== 'left-out').length / described.columns.length
  return {
    layout,
    profile: parsed.data,
    trial,
    share,
    // Lines that are not read weigh most. Between words, blanks cut what belongs together: columns without a use tell.
    score:
      share ** 2 *
      (delimiter === ' ' ? 0.4 + 0.6 * useful : 0.9 + 0.1 * useful) *
      (times.settings ? 1 : 0.9) *
      (0.8 + 0.2 * layout.likeness),
    proposal: {
      guesses: [...first, ...layout.guesses, guess, ...times.guesses, ...described.tokens.guesses],
      columns: described.columns,
      unnamed: [...times.asks, ...described.unnamed],
    },
  }
}

/** Lines that were refused may be nothing but a status: those that are known become a rule. Then the figures are taken. */
function finished(best: Candidate, lines: readonly Uint8Array[]): Proposal {
  const { profile, added } = withStatusLines(best, lines)
  const trial = added.length > 0 ? tryProfile(profile, lines) : best.trial
  const countable = trial.given - trial.harmless
  const share = countable === 0 ? 0 : trial.read / countable
  return {
    ok: true,
    profile,
    confidence: share * (0.5 + 0.5 * best.layout.likeness),
    ...best.proposal,
    guesses: [...best.proposal.guesses, ...added],
    lines: { given: trial.given, read: trial.read, harmless: trial.harmless, refused: trial.refused },
    stepSeconds: trial.stepSeconds,
  }
}

function withStatusLines(
  { profile, trial }: Candidate,
  lines: readonly Uint8Array[],
): { profile: LineProfile; added: Guess[] } {
  const found = new Map<string, NonNullable<ReturnType<typeof statusLine>>>()
  const decoder = sampleOf(trial.refusedLines.slice(0, 500).map((place) => lines[place] ?? new Uint8Array()))
  for (const { text } of decoder.lines) {
    const status = statusLine(profile.checksum ? text.slice(0, text.lastIndexOf(profile.checksum.marker)) : text)
    if (status && found.size < 20) found.set(status.token, status)
  }
  if (found.size === 0) return { profile, added: [] }
  const tokens = Object.fromEntries([...found].map(([token, { tells }]) => [token, tells]))
  return {
    profile: { ...profile, status: [...profile.status, { tokens }] },
    added: [...found.values()].map(({ token, tells }) => ({
      what: `status line ${token}`,
      value: tells.phase ?? tells.fault ?? '',
      confidence: 0.7,
      reason: 'a line of words alone, which tell it',
    })),
  }
}
