import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { OperatorEvent } from '../../engine/events.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { Derived } from '../../recording/recording.ts'
import { rowDifferences } from '../row-comparison.ts'
import type { StoredAverages } from './stored-averages.ts'

type RowOutput = Extract<EngineOutput, { kind: 'block' | 'rolling' }>

export const isRow = (output: EngineOutput): output is RowOutput => output.kind === 'block' || output.kind === 'rolling'

/** Why an average becomes another, in words for its history. */
export function amendmentReason({ action }: OperatorEvent): string {
  if (action.do === 'exclude') return `excluded: ${action.exclusion.reason}`
  if (action.do === 'withdraw') return `withdrawn ${action.id}: ${action.reason}`
  return action.do === 'check' ? `check of ${action.check.channel} told` : ''
}

/**
 * What an amendment changes among the averages that are stored: the new rows, and the old ones for the history. Rows come as
 * the amended engine puts them out; one that is provisional waits for what follows, so that only what stays is compared.
 */
export class RowChanges {
  changed = 0
  private readonly stored: StoredAverages
  private readonly told: OperatorEvent
  private readonly exactly: boolean
  private readonly provisional = new Map<string, RowOutput>()

  /** `exactly`: the stored averages are of this version of the engine; as `rowDifferences`. */
  constructor(stored: StoredAverages, told: OperatorEvent, exactly: boolean) {
    this.stored = stored
    this.told = told
    this.exactly = exactly
  }

  take(outputs: readonly EngineOutput[]): Derived[] {
    const changes: Derived[] = []
    for (const output of outputs) {
      if (!isRow(output)) continue
      const key = `${output.kind}/${averageKey(output.row)}`
      if (output.row.state === 'provisional') this.provisional.set(key, output)
      else {
        this.provisional.delete(key)
        changes.push(...this.changeOf(output))
      }
    }
    return changes
  }

  /** What is provisional still, at the end. */
  rest(): Derived[] {
    const rest = [...this.provisional.values()].flatMap((output) => this.changeOf(output))
    this.provisional.clear()
    return rest
  }

  private changeOf({ kind, row }: RowOutput): Derived[] {
    const old = this.stored.of(kind, row)
    if (old === undefined) return [{ table: kind, row }]
    if (rowDifferences(old, row, this.exactly).length === 0) return []
    this.changed++
    return [{ table: kind, row }, this.entry(kind, old, row)]
  }

  private entry(kind: 'block' | 'rolling', old: AverageRow, row: AverageRow): Derived {
    const { atMs, by } = this.told
    return {
      table: 'history',
      row: { kind, replacedMs: atMs, by, reason: amendmentReason(this.told), old, new: row },
    }
  }
}
