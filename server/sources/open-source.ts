import type { LineSource } from '../engine/settings/line-sources.ts'
import { fileTail } from './file-tail.ts'
import type { FreshnessRule } from './freshness.ts'
import { type PlaybackOptions, playback } from './playback.ts'
import type { Polling } from './polling.ts'
import { serial } from './serial.ts'
import type { Source, SourceNeeds } from './source.ts'
import { tcp } from './tcp.ts'
import { SourceTrouble } from './trouble-texts.ts'

export interface SourceOptions extends SourceNeeds {
  readonly expectEverySeconds: number
  /** The request that makes the instrument send; for serial and TCP. */
  readonly poll?: Polling | undefined
  /** When a silent source is reopened, where the default does not fit. */
  readonly silence?: Pick<FreshnessRule, 'intervals' | 'leastMs'>
  /** Awaited between chunks of lines by all that can wait: TCP, file and playback. Never rejects. */
  readonly hold?: (() => Promise<void>) | undefined
  /** For a file: what was read of it last before a restart. */
  readonly readLast?: Buffer | undefined
  readonly playback?: Pick<PlaybackOptions, 'timeOf' | 'openRecording'>
  readonly jitter?: () => number
}

/**
 * The source that the settings describe, not opened yet. Throws `SourceTrouble` for `simulator`: the station starts the
 * simulator and reads it through `tcp` or `serial`.
 */
export function openSource(settings: LineSource, options: SourceOptions): Source {
  const { name, clock, expectEverySeconds, poll, hold } = options
  const timing = options.after ? { after: options.after } : {}
  const kept = { name, clock, poll, freshness: { expectEverySeconds, ...options.silence }, ...timing }
  switch (settings.kind) {
    case 'serial':
      return serial(settings, kept)
    case 'tcp':
      return tcp(settings, { ...kept, hold, jitter: options.jitter ?? Math.random })
    case 'file':
      return fileTail(settings, { ...kept, hold, readLast: options.readLast })
    case 'playback':
      return playback(settings, { name, clock, expectEverySeconds, hold, ...options.playback, ...timing })
    case 'simulator':
      throw new SourceTrouble(
        'source-needs-station',
        `${name}: a simulator is started by the station and read through tcp or serial`,
      )
  }
}
