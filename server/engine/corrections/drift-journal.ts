import type { BlockReason } from '../../../protocols/words/blocks.ts'

/** A stretch of one channel of which averages must say something, [fromMs, toMs). Channels by the station's index. */
export interface DriftStretch {
  readonly channel: number
  readonly fromMs: number
  readonly toMs: number
  readonly reason: BlockReason
}

/** What zeros and checks said of stretches of the run: averages that reach into one carry its reason. */
export class DriftJournal {
  /** What checks said: known from the start, kept for good. */
  private readonly known: readonly DriftStretch[]
  private found: DriftStretch[] = []
  private readonly keepMs: number

  /** keepMs: how far back an average that is still to be formed may reach. */
  constructor(known: readonly DriftStretch[], keepMs: number) {
    this.known = known
    this.keepMs = keepMs
  }

  /** Stretches come in order of their ends; one that continues another of the same channel and reason is joined to it. */
  note(stretch: DriftStretch): void {
    if (!(stretch.toMs > stretch.fromMs)) return
    this.found = this.found.filter(({ toMs }) => toMs > stretch.toMs - this.keepMs)
    const place = this.found.findIndex(
      ({ channel, reason, toMs }) =>
        channel === stretch.channel && reason === stretch.reason && toMs === stretch.fromMs,
    )
    const before = this.found[place]
    if (before) this.found[place] = { ...stretch, fromMs: before.fromMs }
    else this.found.push(stretch)
  }

  /** Reasons of the stretches of these channels that [fromMs, toMs) reaches into. */
  reasons(channels: readonly number[], fromMs: number, toMs: number): BlockReason[] {
    if (this.known.length === 0 && this.found.length === 0) return []
    const reaches = (stretch: DriftStretch): boolean =>
      stretch.fromMs < toMs && stretch.toMs > fromMs && channels.includes(stretch.channel)
    return [...this.known.filter(reaches), ...this.found.filter(reaches)].map(({ reason }) => reason)
  }
}
