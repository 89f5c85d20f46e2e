import { setImmediate as nextTurn } from 'node:timers/promises'
import type { RecordingWriter } from '../recording/recording.ts'

/** So many derived rows may be given before those before them are stored. */
const rowsMost = 4000

/** Whoever goes through a whole run gives rows faster than the disk takes them: it pauses, so that they do not gather in memory. */
export class RowsAhead {
  private readonly writer: Pick<RecordingWriter, 'flush'>
  private readonly takesNothing: () => boolean
  private given = 0
  private awaited = 0
  private stored: Promise<void> = Promise.resolve()

  /** `takesNothing`: the disk is full or fails; the writer's queue has a limit of its own then, and nobody waits. */
  constructor(writer: Pick<RecordingWriter, 'flush'>, takesNothing: () => boolean) {
    this.writer = writer
    this.takesNothing = takesNothing
  }

  give(rows: number): void {
    this.given += rows
  }

  /** A turn for others; after many rows as long as the disk needs for those before the newest of them. */
  async pause(): Promise<void> {
    await nextTurn()
    if (this.given - this.awaited < rowsMost || this.takesNothing()) return
    this.awaited = this.given
    await this.stored
    this.stored = this.writer.flush().catch(() => {})
  }
}
