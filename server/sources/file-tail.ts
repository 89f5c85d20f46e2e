import { type FSWatcher, watch } from 'node:fs'
import { realpath, stat } from 'node:fs/promises'
import { basename, dirname, resolve, sep } from 'node:path'
import type { z } from 'zod'
import type { Piece } from '../../protocols/instrument/reader.ts'
import { type After, realAfter } from '../clock.ts'
import type { fileSource } from '../engine/settings/line-sources.ts'
import { isForbidden } from '../file-trouble.ts'
import { FollowedFile, isSameFile } from './followed-file.ts'
import { type FreshnessRule, silenceLimitMs } from './freshness.ts'
import { Hold } from './hold.ts'
import { LineSplitter, terminators } from './line-splitter.ts'
import { isToldAttempt } from './retry.ts'
import type { Source, SourceEvent, SourceLink, SourceNeeds } from './source.ts'
import { fileTexts } from './trouble-texts.ts'

export type FileSettings = z.infer<typeof fileSource>
export interface FileTailOptions extends SourceNeeds {
  readonly freshness: FreshnessRule
  /** Awaited between chunks: a long file does not flood who stores its lines. */
  readonly hold?: (() => Promise<void>) | undefined
  /** A folder that the file, its links followed, must lie in. */
  readonly within?: string | undefined
  /** What was read last before a restart: a file that is read from its start goes on behind it. */
  readonly readLast?: Buffer | undefined
  /** false: only polled, as on disks that give no notice of changes. */
  readonly watch?: boolean
}

const pollEveryMs = 500
/** A file that changes while it is read is looked at again after this: many small writes cost one look. */
const busyFileEveryMs = 20
/** A replaced or missing file is read on until it rests: its writer may not have moved to the new one yet. */
const oldFileRestsMs = 700
const oldFileAtMostMs = 10_000

/**
 * Follows a file by its name: growth, cutting, rewriting, and replacement by a new file of that name, the old one being
 * read to its end first. An unended last line waits for its end; it is given as `unended` only when the file was cut or
 * replaced, or the source is closed. From `end` the first line is `first` if it was joined in its middle. A file that
 * appears later is read from its start in any case.
 */
export function fileTail(settings: FileSettings, options: FileTailOptions): Source {
  return new FileTail(settings, options)
}

class FileTail implements Source {
  readonly name: string
  readonly #settings: FileSettings
  readonly #options: FileTailOptions
  readonly #after: After
  readonly #hold: Hold
  #listener: ((event: SourceEvent) => void) | null = null
  #file: FollowedFile | null = null
  #splitter: LineSplitter
  #from: 'start' | 'end' | Buffer
  #openIsTold = false
  #openDetail = ''
  #attempt = 1
  #toldRefusal: string | null = null
  #freshAt = 0
  #renewedAt = 0
  /** Since when the name no longer leads to the open file, and when that file last grew. */
  #leftAt: number | null = null
  #grewAt = 0
  #watcher: FSWatcher | null = null
  #cancelPoll = (): void => {}
  #looking: Promise<void> | null = null
  #lookAgain = false
  #isClosed = false

  constructor(settings: FileSettings, options: FileTailOptions) {
    this.name = options.name
    this.#settings = settings
    this.#options = options
    this.#after = options.after ?? realAfter
    this.#hold = new Hold(options.hold)
    this.#from = settings.from === 'start' ? (options.readLast ?? 'start') : settings.from
    this.#splitter = new LineSplitter(settings.lineEnd, { first: false })
  }

  open(listener: (event: SourceEvent) => void): void {
    this.#listener = listener
    this.#cancelPoll = this.#after(0, () => this.#lookNow())
  }

  /** A file takes no requests. */
  send(): void {}

  async close(): Promise<void> {
    this.#isClosed = true
    this.#hold.close()
    this.#cancelPoll()
    this.#watcher?.close()
    await this.#looking
    await this.#leave(null)
    this.#listener = null
  }

  #lookNow(): void {
    if (this.#isClosed) return
    if (this.#looking !== null) {
      this.#lookAgain = true
      return
    }
    this.#cancelPoll()
    this.#looking = this.#look()
      .catch((error: unknown) => this.#leave(fileTexts.failed(this.#settings.path, error)))
      .then(() => {
        this.#looking = null
        if (this.#isClosed) return
        this.#cancelPoll = this.#after(this.#lookAgain ? busyFileEveryMs : pollEveryMs, () => this.#lookNow())
        this.#lookAgain = false
      })
  }

  async #look(): Promise<void> {
    this.#watchFolder()
    if (!this.#file) await this.#attach()
    if (this.#file) await this.#follow(this.#file)
    await this.#checkSilence()
  }

  /** Without notices (no folder yet, a network disk, no watches left) polling serves alone. */
  #watchFolder(): void {
    if (this.#watcher || this.#options.watch === false) return
    try {
      const watcher = watch(dirname(this.#settings.path), { persistent: false }, (_change, name) => {
        if (name === null || name === basename(this.#settings.path)) this.#lookNow()
      })
      watcher.on('error', () => {
        watcher.close()
        this.#watcher = null
      })
      this.#watcher = watcher
    } catch {
      this.#watcher = null // tried again at the next look
    }
  }

  async #attach(): Promise<void> {
    const { path, lineEnd } = this.#settings
    const refusal = await this.#refusal()
    if (refusal !== null) return this.#refused(refusal)
    try {
      this.#file = await FollowedFile.open(path, this.#from)
    } catch (error) {
      return this.#refused(isForbidden(error) ? fileTexts.noPermission(path) : fileTexts.failed(path, error))
    }
    this.#from = 'start'
    const lastByte = terminators[lineEnd].charCodeAt(terminators[lineEnd].length - 1)
    const joinsInside = this.#file.byteBefore !== null && this.#file.byteBefore !== lastByte
    this.#splitter = new LineSplitter(lineEnd, { first: joinsInside })
    this.#leftAt = null
    this.#freshAt = this.#grewAt = this.#options.clock.monotonicMs()
    this.#tellOpen(fileTexts.open(path, this.#file.offset))
  }

  async #refusal(): Promise<string | null> {
    const { path } = this.#settings
    const { within } = this.#options
    try {
      const found = await stat(path)
      if (found.isDirectory()) return fileTexts.folder(path)
      if (!found.isFile()) return fileTexts.special(path)
      if (within === undefined) return null
      const [target, folder] = await Promise.all([realpath(path), realpath(resolve(within))])
      return target.startsWith(folder + sep) ? null : fileTexts.outside(path, target, folder)
    } catch (error) {
      return isForbidden(error) ? fileTexts.noPermission(path) : fileTexts.missing(path)
    }
  }

  async #follow(file: FollowedFile): Promise<void> {
    const { path } = this.#settings
    // The name is asked before the last bytes are read: a file found replaced is then read to its end.
    const named = await stat(path).catch(() => null)
    const hasGrown = await this.#readOn(file)
    const now = this.#options.clock.monotonicMs()
    if (hasGrown) this.#grewAt = now
    if (named && isSameFile(named, file.identity)) {
      this.#leftAt = null
      return
    }
    this.#leftAt ??= now
    const rests = now - Math.max(this.#grewAt, this.#leftAt) >= oldFileRestsMs
    if (!rests && (named === null || now - this.#leftAt < oldFileAtMostMs)) return
    if (named) {
      await this.#leave(fileTexts.replaced(path))
      await this.#attach()
      if (this.#file) await this.#readOn(this.#file)
    } else this.#tellLost(fileTexts.removed(path))
  }

  /** Reads to the file's end; true when there was anything new. */
  async #readOn(file: FollowedFile): Promise<boolean> {
    const { path, lineEnd } = this.#settings
    let hasGrown = false
    while (!this.#isClosed) {
      const before = file.offset
      const news = await file.read()
      if (news.state === 'same') break
      hasGrown = true
      if (news.state === 'grown') {
        this.#splitter.push(news.chunk, (bytes, piece) => this.#tellPiece(bytes, piece))
        await this.#hold.wait()
        continue
      }
      const wasInside = this.#flush()
      this.#tellLost(
        news.state === 'truncated' ? fileTexts.truncated(path, before, news.size) : fileTexts.rewritten(path),
      )
      file.restart()
      // A writer that was in the middle of a line writes the rest of it: it must not pass for a line.
      this.#splitter = new LineSplitter(lineEnd, { first: wasInside })
      this.#tellOpen(fileTexts.open(path, 0))
    }
    return hasGrown
  }

  async #checkSilence(): Promise<void> {
    const { clock, freshness } = this.#options
    if (!this.#file) return
    const now = clock.monotonicMs()
    const limit = silenceLimitMs(freshness, clock.speed())
    if (now - Math.max(this.#freshAt, this.#renewedAt) < limit) return
    this.#renewedAt = now
    this.#tellClosed('silent', fileTexts.silent(this.#settings.path, limit))
    // It fails only where the name leads nowhere, which the next look finds out.
    await this.#file.renewHandle(this.#settings.path).catch(() => {})
  }

  /** Ends with the present file; `detail` null: nothing to tell. */
  async #leave(detail: string | null): Promise<void> {
    const file = this.#file
    this.#flush()
    if (detail !== null) this.#tellLost(detail)
    this.#file = null
    // Read to its end: an error in closing changes nothing for us.
    await file?.close().catch(() => {})
  }

  /** Tells what is left of a line without its end. Returns whether there was any. */
  #flush(): boolean {
    let wasInside = false
    this.#splitter.end((bytes, piece) => {
      wasInside = true
      this.#tellPiece(bytes, piece)
    })
    return wasInside
  }

  #tellPiece(bytes: Uint8Array, piece: Piece): void {
    if (!this.#openIsTold) this.#tellOpen(this.#openDetail)
    const { clock } = this.#options
    this.#freshAt = clock.monotonicMs()
    this.#listener?.({
      kind: 'line',
      atMs: clock.stationMs(),
      monotonicMs: this.#freshAt,
      bytes: new Uint8Array(bytes),
      piece,
    })
  }

  #tellOpen(detail: string): void {
    this.#openIsTold = true
    this.#openDetail = detail
    this.#toldRefusal = null
    this.#tell('open', detail)
    this.#attempt = 1
  }

  #tellLost(detail: string): void {
    this.#tellClosed('lost', detail)
  }

  #tellClosed(state: 'lost' | 'silent', detail: string): void {
    if (!this.#openIsTold) return
    this.#openIsTold = false
    this.#tell(state, detail)
  }

  /** Waiting begins anew from the start of whatever appears. */
  #refused(detail: string): void {
    this.#from = 'start'
    if (detail !== this.#toldRefusal || isToldAttempt(this.#attempt)) {
      this.#toldRefusal = detail
      this.#tell('refused', detail)
    }
    this.#attempt++
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
