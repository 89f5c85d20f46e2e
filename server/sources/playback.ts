import type { z } from 'zod'
import type { Piece } from '../../protocols/instrument/reader.ts'
import { type After, realAfter } from '../clock.ts'
import type { playbackSource } from '../engine/settings/line-sources.ts'
import { Hold } from './hold.ts'
import { readLog } from './read-log.ts'
import { isToldAttempt, serialRetry } from './retry.ts'
import type { Source, SourceEvent, SourceLink, SourceNeeds } from './source.ts'
import { playbackTexts } from './trouble-texts.ts'

export type PlaybackSettings = z.infer<typeof playbackSource>

/** A piece with the time at which it came when it was recorded, ms since 1970 UTC. */
export interface TimedPiece {
  readonly atMs: number
  readonly bytes: Uint8Array
  readonly piece: Piece
}
export type TimedPieces = AsyncIterable<TimedPiece> | Iterable<TimedPiece>

export interface PlaybackOptions extends SourceNeeds {
  /** The pace of a text log, in which no times of arrival stand. */
  readonly expectEverySeconds: number
  /** The line's own time, ms since 1970 UTC, where the log is to be paced by it; null: one expected interval after the line before. */
  readonly timeOf?: ((bytes: Uint8Array) => number | null) | undefined
  /** Opens a recording; null where the file is none, which is then read as a text log. */
  readonly openRecording?: ((path: string) => TimedPieces | null) | undefined
  /** Awaited after each batch of lines: who stores the lines sets the pace. */
  readonly hold?: (() => Promise<void>) | undefined
}

const batchLines = 500
const longestTimerMs = 2 ** 31 - 1

/**
 * Plays a recording or a text log as if its lines came now: their times are those of the station's clock at which they are
 * given. At 1 the distances are those of the recording in station time. Ends with `ended`; a file that cannot be opened is
 * tried again.
 */
export function playback(settings: PlaybackSettings, options: PlaybackOptions): Source {
  return new Playback(settings, options)
}

class Playback implements Source {
  readonly name: string
  readonly #settings: PlaybackSettings
  readonly #options: PlaybackOptions
  readonly #after: After
  readonly #hold: Hold | null
  #listener: ((event: SourceEvent) => void) | null = null
  #playing: Promise<void> = Promise.resolve()
  #isClosed = false
  #wake = (): void => {}
  #attempt = 1

  constructor(settings: PlaybackSettings, options: PlaybackOptions) {
    this.name = options.name
    this.#settings = settings
    this.#options = options
    this.#after = options.after ?? realAfter
    this.#hold = options.hold ? new Hold(options.hold) : null
  }

  open(listener: (event: SourceEvent) => void): void {
    this.#listener = listener
    this.#playing = this.#play()
  }

  /** What was recorded cannot be asked. */
  send(): void {}

  async close(): Promise<void> {
    this.#isClosed = true
    this.#hold?.close()
    this.#wake()
    await this.#playing
    this.#listener = null
  }

  async #play(): Promise<void> {
    let told: string | null = null
    // Lines already given are not given again after an error in the middle.
    let given = 0
    await this.#pause(0)
    while (!this.#isClosed) {
      try {
        given = await this.#playFrom(given, (count) => {
          given = count
        })
        if (!this.#isClosed) this.#tell('ended', playbackTexts.ended(this.#settings.path, given))
        return
      } catch (error) {
        const detail = error instanceof Error ? error.message : String(error)
        if (detail !== told || isToldAttempt(this.#attempt)) this.#tell('refused', detail)
        told = detail
        await this.#pause(serialRetry(this.#attempt++))
      }
    }
  }

  /** Returns how many pieces were given in all. */
  async #playFrom(skip: number, onGiven: (count: number) => void): Promise<number> {
    const { clock } = this.#options
    const { path, speed } = this.#settings
    let count = 0
    let anchor: { readonly recordedMs: number; readonly stationMs: number } | null = null
    let isOpen = false
    for await (const piece of this.#pieces()) {
      if (this.#isClosed) break
      if (!isOpen) {
        this.#tell('open', playbackTexts.open(path, speed))
        isOpen = true
      }
      if (++count <= skip) continue
      // Also where lines are overdue: the rest of the process gets its turn.
      if (count % batchLines === 0) await (this.#hold?.wait() ?? this.#pause(0))
      if (speed !== 'fastest') {
        anchor ??= { recordedMs: piece.atMs, stationMs: clock.stationMs() }
        const due: number = anchor.stationMs + (piece.atMs - anchor.recordedMs) / speed
        for (let wait = due - clock.stationMs(); wait > 0 && !this.#isClosed; wait = due - clock.stationMs()) {
          await this.#pause(Math.min(longestTimerMs, Math.ceil(wait / clock.speed())))
        }
      }
      if (this.#isClosed) break
      this.#listener?.({
        kind: 'line',
        atMs: clock.stationMs(),
        monotonicMs: clock.monotonicMs(),
        bytes: new Uint8Array(piece.bytes),
        piece: piece.piece,
      })
      onGiven(count)
    }
    return count
  }

  #pieces(): TimedPieces {
    return this.#options.openRecording?.(this.#settings.path) ?? this.#logPieces()
  }

  async *#logPieces(): AsyncGenerator<TimedPiece> {
    const { expectEverySeconds, timeOf } = this.#options
    let atMs = 0
    for await (const batch of readLog(this.#settings.path, { lineEnd: this.#settings.lineEnd })) {
      for (const { bytes, piece } of batch) {
        atMs = timeOf?.(bytes) ?? atMs + expectEverySeconds * 1000
        yield { atMs, bytes, piece }
      }
    }
  }

  #pause(ms: number): Promise<void> {
    return new Promise((resolve) => {
      if (this.#isClosed) return resolve()
      const cancel = this.#after(ms, resolve)
      this.#wake = () => {
        cancel()
        resolve()
      }
    })
  }

  #tell(state: SourceLink['state'], detail: string): void {
    const { clock } = this.#options
    this.#listener?.({
      kind: 'link',
      atMs: clock.stationMs(),
      monotonicMs: clock.monotonicMs(),
      state,
      attempt: this.#attempt,
      detail,
    })
  }
}
