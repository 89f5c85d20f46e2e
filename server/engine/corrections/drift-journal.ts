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
  /** Stretches of which the end is not known yet, by channel. */
  private readonly open = new Map<number, Omit<DriftStretch, 'toMs'>>()
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

  /** From here on, until `close` tells the end; one for each channel. */
  begin(stretch: Omit<DriftStretch, 'toMs'>): void {
    this.open.set(stretch.channel, stretch)
  }

  /** What began for this channel reaches to `toMs`. */
  close(channel: number, toMs: number): void {
    const begun = this.open.get(channel)
    if (!begun) return
    this.open.delete(channel)
    this.note({ ...begun, toMs })
  }

  /** Reasons of the stretches of these channels that [fromMs, toMs) reaches into. */
  reasons(channels: readonly number[], fromMs: number, toMs: number): BlockReason[] {
    if (this.known.length === 0 && this.found.length === 0 && this.open.size === 0) return []
    const reaches = (stretch: DriftStretch): boolean =>
      stretch.fromMs < toMs && stretch.toMs > fromMs && channels.includes(stretch.channel)
    const begun = channels.flatMap((channel) => this.open.get(channel) ?? []).filter((stretch) => stretch.fromMs < toMs)
    return [...this.known.filter(reaches), ...this.found.filter(reaches), ...begun].map(({ reason }) => reason)
  }
}
