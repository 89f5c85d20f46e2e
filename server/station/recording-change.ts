import { setTimeout as sleep } from 'node:timers/promises'
import type { Unnumbered } from '../recording/recording.ts'
import { errorText } from '../recording/trouble.ts'
import { mostKept, mostWaiting } from './most-waiting.ts'

/** How long a disk that took no new recording is left alone, ms. */
const retryMs = 1000
/** So long whoever asks waits for the end of a change, ms. */
const usualPatienceMs = 5000

export interface Instant {
  readonly atMs: number
  readonly monotonicMs: number
}
export interface Recordings {
  now(): Instant
  /** Whether the present recording takes inputs. */
  isOpen(): boolean
  /** Opens one for lines outside a run. */
  standBy(): Promise<void>
  /** None can be opened for now. */
  stuck(why: string): void
  take(input: Unnumbered): void
  /** So many inputs could not be kept until there was a recording. */
  lose(inputs: number): void
  /** The change is over, whatever became of it. */
  changed(): void
  warn(text: string): void
}

/**
 * The change from one recording to the next. Inputs wait for its end, so that none is lost between the two. Where the next
 * one cannot be opened, as on a full disk, it is tried until it can: a station never goes on without a recording.
 */
export class RecordingChange {
  private readonly recordings: Recordings
  private readonly patienceMs: number
  private readonly waiting: Unnumbered[] = []
  private began: Instant | null = null
  private change: Promise<void> | null = null
  private isEnding = false
  /** None can be opened, as on a full disk. */
  private isStuck = false
  private lost = 0
  /** When the input came that is just being handed over. */
  private handedOver: Instant | null = null

  constructor(recordings: Recordings, patienceMs = usualPatienceMs) {
    this.recordings = recordings
    this.patienceMs = patienceMs
  }

  get isOn(): boolean {
    return this.change !== null
  }
  /** When the change began that is under way, else now: inputs that wait for its end came later. */
  get instant(): Instant {
    return this.began ?? this.recordings.now()
  }
  /** Inputs for which there is no recording yet. */
  get waits(): number {
    return this.waiting.length + this.lost
  }

  hold(input: Unnumbered): void {
    if (this.waiting.length < mostKept) this.waiting.push(input)
    else this.lost++
  }

  /** Whether a source that can wait may bring more; where not, it resolves when it is worth asking again. */
  async hasRoom(): Promise<boolean> {
    if (this.waiting.length <= mostWaiting) return true
    await this.change
    return false
  }

  /** Resolves when none is under way, or when one takes long: since averages are being formed, or since it waits for the disk. */
  async settled(): Promise<'over' | 'busy' | 'stuck'> {
    const late = this.change === null ? null : sleep(this.patienceMs, true, { ref: false })
    while (this.change !== null) if (await Promise.race([this.change, late])) return this.isStuck ? 'stuck' : 'busy'
    return 'over'
  }

  /** Begins one unless one is under way. Resolves to what went wrong, null: nothing; then the one before goes on, or lines stand by. */
  begin(change: () => Promise<void>): Promise<string | null> {
    if (this.change !== null) return this.change.then(() => null)
    // A run so short that it ends among what waited ends at that input: those behind it, which wait on, came later.
    this.began = this.handedOver ?? this.recordings.now()
    const outcome = change().then(() => null, errorText)
    this.change = outcome.then((trouble) => this.endWith(trouble))
    return outcome
  }

  /** No recording is opened any more; resolves when no change is under way. */
  async end(): Promise<void> {
    this.isEnding = true
    while (this.change !== null) await this.change
  }

  private async endWith(trouble: string | null): Promise<void> {
    if (trouble !== null) this.recordings.warn(`the recording could not be changed: ${trouble}`)
    while (!this.recordings.isOpen() && !this.isEnding)
      await this.recordings.standBy().catch((error: unknown) => {
        this.recordings.stuck(errorText(error))
        this.isStuck = true
        return sleep(retryMs)
      })
    this.isStuck = false
    this.change = null
    this.began = null
    if (this.recordings.isOpen()) this.takeWaiting()
    this.recordings.changed()
  }

  private takeWaiting(): void {
    for (const input of this.waiting.splice(0)) {
      this.handedOver = { atMs: input.atMs, monotonicMs: input.monotonicMs }
      this.recordings.take(input)
    }
    this.handedOver = null
    if (this.lost > 0) this.recordings.lose(this.lost)
    this.lost = 0
  }
}
