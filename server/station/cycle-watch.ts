import type { PhaseSpan, StreamState } from '../../protocols/live/messages.ts'

/** Expects of the next purge what the last two did: how long after one another they began, and how long the last took. */
export class CycleWatch {
  private purgeStarts: number[] = []
  private purgeMs = Number.NaN

  take(span: PhaseSpan): void {
    if (span.phase !== 'purge') return
    if (span.endMs !== null) this.purgeMs = span.endMs - span.startMs
    else if (this.purgeStarts[this.purgeStarts.length - 1] !== span.startMs)
      this.purgeStarts = [...this.purgeStarts.slice(-1), span.startMs]
  }

  next(phase: string, sinceMs: number): StreamState['next'] {
    const [before, last] = this.purgeStarts
    if (phase === 'purge')
      return Number.isNaN(this.purgeMs)
        ? null
        : { phase: 'measure', atMs: sinceMs + this.purgeMs, known: 'from the cycles so far' }
    if (phase !== 'measure' || before === undefined || last === undefined) return null
    return { phase: 'purge', atMs: last + (last - before), known: 'from the cycles so far' }
  }
}
