import type { AlarmPriority } from '../../protocols/words/alarms.ts'

/** One tone: Hz, and where in the call it begins and ends, s. */
interface Tone {
  readonly hertz: number
  readonly from: number
  readonly to: number
}
/**
 * The more it matters the more tones. Between 500 and 1000 Hz: heard by elderly ears and through ear defenders alike.
 * Source: ISO 7731 recommends components from 500 to 2500 Hz for danger signals (from memory); the figures are our choice.
 */
const calls: Readonly<Record<AlarmPriority, readonly Tone[]>> = {
  high: [0, 0.22, 0.44, 0.9, 1.12, 1.34].map((from, index) => ({
    hertz: index % 3 === 1 ? 660 : 880,
    from,
    to: from + 0.16,
  })),
  medium: [0, 0.3].map((from, index) => ({ hertz: index ? 587 : 784, from, to: from + 0.22 })),
  low: [{ hertz: 523, from: 0, to: 0.25 }],
}
const loudness = 0.4
/** A tone that began at once would click. */
const edgeSeconds = 0.015

/** `none`: the browser has no sound. `off`: nobody switched it on. `waiting`: the browser wants a tap first. */
export type SoundState = 'none' | 'off' | 'waiting' | 'on'

/** Tones made by the browser itself: no file, nothing to load when the network is down. */
export class AlarmSound {
  private context: AudioContext | null = null
  constructor(
    public wanted: boolean,
    private readonly changed: () => void,
  ) {}

  get state(): SoundState {
    if (typeof AudioContext === 'undefined') return 'none'
    if (!this.wanted) return 'off'
    return this.context?.state === 'running' ? 'on' : 'waiting'
  }

  /** To be called from a tap or a key: the browser lets nobody make a sound unasked. */
  async enable(): Promise<void> {
    if (typeof AudioContext === 'undefined') return
    this.wanted = true
    this.context ??= this.made()
    // The promise stays open for as long as the browser wants a tap: whoever waits for it would wait for ever.
    void this.context.resume().catch(() => this.changed())
    this.changed()
  }
  disable(): void {
    this.wanted = false
    void this.context?.suspend().catch(() => this.changed())
    this.changed()
  }
  private made(): AudioContext {
    const context = new AudioContext()
    context.onstatechange = () => this.changed()
    return context
  }

  /** Plays a call once; nothing where sound is not on. */
  play(priority: AlarmPriority): void {
    const { context } = this
    if (!context || this.state !== 'on') return
    const begin = context.currentTime + 0.05
    for (const { hertz, from, to } of calls[priority]) {
      const source = new OscillatorNode(context, { type: 'triangle', frequency: hertz })
      const gain = new GainNode(context, { gain: 0 })
      gain.gain.setValueAtTime(0, begin + from)
      gain.gain.linearRampToValueAtTime(loudness, begin + from + edgeSeconds)
      gain.gain.setValueAtTime(loudness, begin + to - edgeSeconds)
      gain.gain.linearRampToValueAtTime(0, begin + to)
      source.connect(gain).connect(context.destination)
      source.onended = () => gain.disconnect()
      source.start(begin + from)
      source.stop(begin + to)
    }
  }
}
