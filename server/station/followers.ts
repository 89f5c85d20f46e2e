import type { Feed, Unnumbered as Increment } from '../http/station-face.ts'

/** Who follows a station or a replay. */
export class Followers {
  private readonly told = new Set<(increment: Increment) => void>()
  private readonly renewed = new Set<() => void>()

  tell(increments: readonly Increment[]): void {
    for (const increment of increments) for (const listener of this.told) listener(increment)
  }

  /** Another recording, another engine, a jump: viewers need the whole picture. */
  renew(): void {
    for (const listener of this.renewed) listener()
  }

  readonly follow: Feed['follow'] = (listener) => {
    this.told.add(listener)
    return () => this.told.delete(listener)
  }

  readonly onRenewed: Feed['onRenewed'] = (listener) => {
    this.renewed.add(listener)
    return () => this.renewed.delete(listener)
  }
}
