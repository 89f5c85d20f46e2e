import type { Feed, Unnumbered } from './station-face.ts'
import type { Viewer } from './viewer.ts'

/** Those who follow one feed: all live viewers, or the one viewer of a playback. Closes the feed when the last has left. */
export class Audience {
  private readonly viewers = new Set<Viewer>()
  private readonly feed: Feed
  private readonly unfollow: readonly (() => void)[]
  private readonly ended: () => void
  private isOver = false

  /** ended: called once, when the last viewer has left. */
  constructor(feed: Feed, ended: () => void) {
    this.feed = feed
    this.ended = ended
    this.unfollow = [feed.follow((increment) => this.tell(increment)), feed.onRenewed(() => this.renew())]
  }

  get size(): number {
    return this.viewers.size
  }

  /** Nothing can come between the first snapshot and the increments: both happen in one turn. */
  join(viewer: Viewer): void {
    viewer.sendSnapshot()
    this.viewers.add(viewer)
  }

  leave(viewer: Viewer): void {
    this.viewers.delete(viewer)
    if (this.viewers.size === 0) this.close()
  }

  control(message: Parameters<Feed['control']>[0]): void {
    this.feed.control(message)
  }

  snapshotText(): string {
    return JSON.stringify(this.feed.snapshot())
  }

  close(): void {
    if (this.isOver) return
    this.isOver = true
    for (const end of this.unfollow) end()
    this.feed.close()
    this.ended()
  }

  /** Written out once, whoever many look on; not at all if nobody can take it. */
  private tell(increment: Unnumbered): void {
    let text: string | null = null
    for (const viewer of this.viewers) {
      if (!viewer.takes()) continue
      text ??= JSON.stringify(increment)
      viewer.sendIncrement(text)
    }
  }

  private renew(): void {
    for (const viewer of this.viewers) viewer.sendSnapshot()
  }
}
