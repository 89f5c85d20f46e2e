import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { OperatorEvent } from '../../engine/events.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { Derived } from '../../recording/recording.ts'
import { rowDifferences } from '../row-comparison.ts'
import { isCheckId } from '../told-check.ts'
import type { StoredAverage, StoredAverages } from './stored-averages.ts'

type RowOutput = Extract<EngineOutput, { kind: 'block' | 'rolling' }>

export const isRow = (output: EngineOutput): output is RowOutput => output.kind === 'block' || output.kind === 'rolling'

const keyOf = ({ kind, row }: StoredAverage): string => `${kind}/${averageKey(row)}`

/** Why an average becomes another, in words for its history. */
function amendmentReason({ action }: OperatorEvent): string {
  if (action.do === 'exclude') return `excluded: ${action.exclusion.reason}`
  if (action.do === 'withdraw') return `withdrawn ${action.id}: ${action.reason}`
  if (action.do !== 'check') return ''
  const { kind, channel, response, expected, gas } = action.check
  return `${kind} check of ${channel} told: ${response} shown for ${expected} (gas: ${gas})`
}

/** What changes averages, as their history tells it. */
export interface CauseOfChange {
  readonly atMs: number
  /** null: no person did. */
  readonly by: string | null
  readonly reason: string
  /** Averages may be formed no longer. */
  readonly mayEndAverages: boolean
}

/** `told`: at least one, in order; more where those before were not worked through, since then nothing tells which changed what. */
export function amending(told: readonly OperatorEvent[]): CauseOfChange {
  return {
    atMs: told.at(-1)?.atMs ?? 0,
    by: [...new Set(told.map(({ by }) => by))].join(', '),
    reason: told.map(amendmentReason).join('; '),
    mayEndAverages: told.some(mayEndAverages),
  }
}

/** Only checks decide which averages are formed at all; an exclusion changes what they say. */
export const mayEndAverages = ({ action }: OperatorEvent): boolean =>
  action.do === 'check' || (action.do === 'withdraw' && isCheckId(action.id))

/**
 * What an amendment, or another version of the engine, changes among the averages that are stored: the new rows, and the old ones for the history. Rows come as
 * the amended engine puts them out; one that is provisional waits for what follows, so that only what stays is compared.
 */
export class RowChanges {
  changed = 0
  private readonly stored: StoredAverages
  private readonly cause: CauseOfChange
  private readonly exactly: boolean
  private readonly formed = new Set<string>()
  private firstMs = Number.POSITIVE_INFINITY
  private lastMs = Number.NEGATIVE_INFINITY
  private readonly provisional = new Map<string, RowOutput>()

  /** `exactly`: the stored averages are of this version of the engine; as `rowDifferences`. */
  constructor(stored: StoredAverages, cause: CauseOfChange, exactly: boolean) {
    this.stored = stored
    this.cause = cause
    this.exactly = exactly
  }

  /** Averages that the run put out meanwhile, as amended: they are formed, and stored by whoever runs it. */
  formedAlong(outputs: readonly EngineOutput[]): void {
    for (const output of outputs) if (isRow(output)) this.formed.add(keyOf(output))
  }

  take(outputs: readonly EngineOutput[]): Derived[] {
    const changes: Derived[] = []
    for (const output of outputs) {
      if (!isRow(output)) continue
      const key = keyOf(output)
      if (this.cause.mayEndAverages) {
        this.formed.add(key)
        this.firstMs = Math.min(this.firstMs, output.row.startMs)
        this.lastMs = Math.max(this.lastMs, output.row.startMs)
      }
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

  /** After the rest, a part at a time: stored averages that are no longer formed. */
  *gone(): Generator<Derived[]> {
    if (!this.cause.mayEndAverages) return
    for (const stored of this.stored.all(this.firstMs, this.lastMs))
      yield stored
        .filter((average) => !this.formed.has(keyOf(average)))
        .flatMap(({ kind, row }) => {
          this.changed++
          return [{ table: 'gone', kind, row }, this.entry(kind, row, null)] satisfies Derived[]
        })
  }

  private changeOf({ kind, row }: RowOutput): Derived[] {
    const old = this.stored.of(kind, row)
    if (old === undefined) return [{ table: kind, row }]
    if (rowDifferences(old, row, this.exactly).length === 0) return []
    this.changed++
    return [{ table: kind, row }, this.entry(kind, old, row)]
  }

  private entry(kind: 'block' | 'rolling', old: AverageRow, row: AverageRow | null): Derived {
    const { atMs, by, reason } = this.cause
    return { table: 'history', row: { kind, replacedMs: atMs, by, reason, old, new: row } }
  }
}
