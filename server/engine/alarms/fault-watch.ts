import type { LineProfile } from '../../../protocols/instrument/profile.ts'
import { fieldFlag, type LineContent } from '../../../protocols/instrument/reader.ts'
import { type InstrumentFault, instrumentFaults } from '../../../protocols/words/phases.ts'
import type { HealthCause } from '../settings/station-file.ts'
import type { TellCondition } from './watch.ts'

/** One bit per fault; a set of faults is a number. */
const bits = new Map(instrumentFaults.map((fault, place) => [fault, 1 << place]))
const bitOf = (fault: InstrumentFault): number => bits.get(fault) ?? 0
const noFaults: readonly InstrumentFault[] = Object.freeze([])
/** The health alarm of a fault. */
export const causeOfFault = (fault: InstrumentFault): HealthCause => (fault === 'other' ? 'other-fault' : fault)

/** A status rule of the profile and what stands by it. */
interface Rule {
  readonly tokens: ReadonlySet<string>
  /** Place of its field among the profile's fields; −1 for a rule that searches the whole line. */
  readonly field: number
  /** Whether any other token of the rule ends a fault, or only one that clears. */
  readonly endsByOthers: boolean
  standing: number
}

/**
 * Status tokens to fault conditions. How a fault ends depends on how the instrument tells it:
 * - in a field of the line: it stands while the field repeats it, and ends with the first line in which the field told
 *   something else that the profile knows, or stood empty. A line without the field (one of another shape) and a line
 *   with an unknown token end nothing;
 * - in lines of their own (a rule without a field): it stands until a token that clears; where the rule has none, until
 *   any other token of it.
 * A token that clears ends all faults of its rule, except those told in the same line. Faults of two rules are kept apart.
 */
export class FaultWatch {
  readonly #rules: readonly Rule[]
  readonly #tell: TellCondition
  #standing = 0
  #standingFaults = noFaults
  /** What a line told that left no fault standing: most lines tell the very same as the one before. */
  #harmless: LineContent['status'] | null = null

  constructor(profile: Pick<LineProfile, 'status' | 'fields'>, tell: TellCondition) {
    this.#tell = tell
    this.#rules = profile.status.map((rule) => {
      const field = profile.fields.findIndex(({ name }) => name === rule.field)
      const canClear = Object.values(rule.tokens).some((token) => token.clears)
      return { tokens: new Set(Object.keys(rule.tokens)), field, endsByOthers: field >= 0 || !canClear, standing: 0 }
    })
  }

  /** Faults that stand now, in the words' order. */
  standing(): readonly InstrumentFault[] {
    return this.#standingFaults
  }

  /** Whether any fault stands. */
  get isFaulty(): boolean {
    return this.#standing !== 0
  }

  /** A line that was read. `atMs`: station time. */
  line(content: Pick<LineContent, 'status' | 'flags'>, atMs: number): void {
    if (this.#standing === 0 && (content.status.length === 0 || content.status === this.#harmless)) return
    let standing = 0
    for (const rule of this.#rules) {
      step(rule, content)
      standing |= rule.standing
    }
    this.#harmless = standing === 0 ? content.status : null
    this.#change(standing, atMs)
  }

  /** The instrument can no longer be asked: the run ended, or another one was plugged in. */
  forget(atMs: number): void {
    for (const rule of this.#rules) rule.standing = 0
    this.#change(0, atMs)
  }

  #change(standing: number, atMs: number): void {
    const changed = standing ^ this.#standing
    this.#standing = standing
    if (changed === 0) return
    this.#standingFaults = standing === 0 ? noFaults : instrumentFaults.filter((fault) => standing & bitOf(fault))
    for (const fault of instrumentFaults)
      if (changed & bitOf(fault)) this.#tell(causeOfFault(fault), (standing & bitOf(fault)) !== 0, atMs)
  }
}

function step(rule: Rule, { status, flags }: Pick<LineContent, 'status' | 'flags'>): void {
  let told = 0
  let clears = false
  let spoke = false
  let isUnknown = false
  for (const { token, known, fault, clears: clearing } of status) {
    if (!known) isUnknown = true
    if (!rule.tokens.has(token)) continue
    spoke = true
    if (fault) told |= bitOf(fault)
    if (clearing) clears = true
  }
  // A field without a number is `missing`, be it empty or a token; without any token of the rule it says that nothing stands.
  const isSilent = !spoke && !isUnknown && rule.field >= 0 && flags[rule.field] === fieldFlag.missing
  const isOver = clears || isSilent || (spoke && rule.endsByOthers)
  rule.standing = isOver ? told : rule.standing | told
}
