import type { LineProfile } from '../../../protocols/instrument/profile.ts'
import type { NoticeCode } from '../outputs.ts'
import type { StreamSettings } from '../settings/station-file.ts'

/** As the station file takes them. Less than 1 is no dilution: a 0 in its place would make every value 0. */
const leastFactor = 1
const greatestFactor = 10_000

/** The factor by which a stream's diluted values are multiplied: from its lines where they tell it, else from the station file. */
export class Dilution {
  /** In force for the newest line; NaN where its lines have told none yet, or one that cannot be. */
  factor: number
  private readonly isTold: boolean
  private told = Number.NaN
  private readonly tell: (code: NoticeCode, atMs: number, text: string) => void

  constructor(
    { profile, dilution }: Pick<StreamSettings, 'profile' | 'dilution'>,
    tell: (code: NoticeCode, atMs: number, text: string) => void,
  ) {
    // Where the instrument multiplies by itself, a factor in its lines says what it did, and is not applied again.
    this.isTold = (profile as LineProfile).dilution.state === 'not-in-the-values'
    this.factor = this.isTold && dilution === undefined ? Number.NaN : (dilution ?? 1)
    this.tell = tell
  }

  /** `factor`: as a line tells it; NaN where it tells none: then the one before still holds. */
  take(factor: number, at: number): void {
    if (Number.isNaN(factor) || factor === this.told) return
    if (!Number.isNaN(this.told))
      this.tell('dilution_changed', at, `the dilution factor went from ${this.told} to ${factor}`)
    this.told = factor
    if (this.isTold) this.factor = factor >= leastFactor && factor <= greatestFactor ? factor : Number.NaN
  }
}
