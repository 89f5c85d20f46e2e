import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import type { AverageChange } from '../recording/recording.ts'
import { rowDifferences } from './row-comparison.ts'

/**
 * What of the noted changes of averages cannot be: each change of an average must begin with what the one before it led to,
 * and the last must lead to the average in force. The history is not sealed; this finds an entry that was changed, or taken
 * out between two others or at the end. That an average becomes final is no change. Where the engine itself wrote a change
 * down (`by` null: the next zero came), it does so anew when the run goes on, so that it says nothing of its neighbours'
 * order, and a change of a final average may follow one of the same average as it was before that zero. An average that was
 * no longer formed may be formed again by a check, which has no entry for what begins. `exactly`: as `rowDifferences`.
 */
export function historyFaults(
  history: Iterable<AverageChange>,
  inForce: (kind: AverageChange['kind'], row: AverageRow) => AverageRow | undefined,
  exactly: boolean,
): string[] {
  const isSame = (a: AverageRow | null, b: AverageRow | null): boolean =>
    a === null || b === null ? a === b : rowDifferences(a, { ...b, state: a.state }, exactly).length === 0
  const last = new Map<string, AverageChange>()
  const faults: string[] = []
  for (const change of history) {
    const key = `${change.kind}/${averageKey(change.old)}`
    const before = last.get(key)
    if (change.new !== null && averageKey(change.new) !== averageKey(change.old))
      faults.push(`history of ${key}: leads to another average`)
    const becameFinal = before?.new?.state === 'provisional' && change.old.state === 'final'
    if (before?.new && change.by !== null && !becameFinal && !isSame(before.new, change.old))
      faults.push(`history of ${key}: a change begins otherwise than the one before it ended`)
    // Of the many that the engine wrote down nothing is asked later.
    if (change.by === null) last.delete(key)
    else last.set(key, change)
  }
  for (const [key, { kind, old, new: is }] of last)
    if (is !== null && !isSame(is, inForce(kind, old) ?? null))
      faults.push(`history of ${key}: does not lead to the average in force`)
  return faults
}
