import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import { mostBlocks } from '../live-view.ts'

/**
 * Of the averages that an amended engine forms on its way through the run, those that screens show: the newest. All of them,
 * not only what the amendment changes: what an amendment before it changed, which was not worked through, is not told again,
 * and an average that is formed no longer has to go.
 */
export class ShownAverages {
  private readonly newestBlocks = new Map<string, AverageRow>()
  private readonly newestRolling = new Map<string, AverageRow>()

  take(outputs: readonly EngineOutput[]): void {
    for (const output of outputs) {
      if (output.kind === 'block') this.newestBlocks.set(averageKey(output.row), output.row)
      if (output.kind === 'rolling') this.takeRolling(output.row)
    }
    for (const oldest of this.newestBlocks.keys()) {
      if (this.newestBlocks.size <= mostBlocks) break
      this.newestBlocks.delete(oldest)
    }
  }

  /** What is told again lies behind. */
  private takeRolling(row: AverageRow): void {
    const key = averageKey({ ...row, startMs: 0 })
    if (row.startMs >= (this.newestRolling.get(key)?.startMs ?? Number.NEGATIVE_INFINITY))
      this.newestRolling.set(key, row)
  }

  get blocks(): readonly AverageRow[] {
    return [...this.newestBlocks.values()]
  }

  get rolling(): readonly AverageRow[] {
    return [...this.newestRolling.values()]
  }
}
