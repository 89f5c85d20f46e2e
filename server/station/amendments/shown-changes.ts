import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { Derived } from '../../recording/recording.ts'
import { mostBlocks } from '../live-view.ts'

/** Of the averages that an amendment changed, in order of time, those that screens may hold: the newest. */
export class ShownChanges {
  private blocks: AverageRow[] = []
  private readonly rolling = new Map<string, AverageRow>()

  take(changes: readonly Derived[]): void {
    for (const { table, row } of changes) {
      if (table === 'block') this.blocks.push(row)
      if (table === 'rolling') this.rolling.set(averageKey({ ...row, startMs: 0 }), row)
    }
    if (this.blocks.length > 2 * mostBlocks) this.blocks = this.blocks.slice(-mostBlocks)
  }

  outputs(): EngineOutput[] {
    return [
      ...this.blocks.map((row): EngineOutput => ({ kind: 'block', row })),
      ...[...this.rolling.values()].map((row): EngineOutput => ({ kind: 'rolling', row })),
    ]
  }
}
