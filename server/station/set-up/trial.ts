import { realpathSync } from 'node:fs'
import { decodeText } from '../../../protocols/instrument/text-encoding.ts'
import type { HeardAnswer } from '../../../protocols/live/set-up.ts'
import { machineClocks } from '../../clock.ts'
import type { LineSource } from '../../engine/settings/line-sources.ts'
import { openSource } from '../../sources/open-source.ts'
import type { Polling } from '../../sources/polling.ts'
import { readLogSync } from '../../sources/read-log.ts'
import type { Source } from '../../sources/source.ts'
import { HeldLines } from './held-lines.ts'

export type TrialSource = Extract<LineSource, { kind: 'serial' | 'tcp' | 'file' }>

/** A page that asks no more has gone: its port is given back. */
const leaseMs = 20_000
const shownLines = 12
const longestShown = 400
/** Of a file its first lines are shown at once, headings among them. */
const firstOfFile = 300

const pathOf = (path: string): string => {
  try {
    return realpathSync(path)
  } catch {
    // What is not there now stands for itself.
    return path
  }
}

/** Whether two sources are one and the same port, address or file. */
export function isSameSource(one: LineSource, other: LineSource): boolean {
  if (one.kind === 'tcp' && other.kind === 'tcp')
    return one.port === other.port && nameOf(one.host) === nameOf(other.host)
  return (
    (one.kind === 'serial' || one.kind === 'file') &&
    one.kind === other.kind &&
    pathOf(one.path) === pathOf((other as typeof one).path)
  )
}
const nameOf = (host: string): string => (host.toLowerCase() === 'localhost' ? '127.0.0.1' : host.toLowerCase())

const clock = {
  stationMs: () => Date.now(),
  monotonicMs: () => machineClocks.monotonicMs(),
  speed: () => 1,
}

/** A source that is listened to on trial, for as long as somebody asks what it says. Nothing of it is recorded. */
export class Trial {
  readonly source: TrialSource
  readonly held: HeldLines
  /** The station itself reads this source. */
  readonly own: boolean
  isClosed = false
  private readonly opened: Source | null
  private lease: NodeJS.Timeout

  /** `heldByStation`: the lines that the station hears from this very source; then nothing is opened. */
  constructor(source: TrialSource, poll: Polling | undefined, heldByStation: HeldLines | null) {
    this.source = source
    this.own = heldByStation !== null
    this.held = heldByStation ?? new HeldLines()
    this.lease = this.newLease()
    if (this.own) {
      this.opened = null
      return
    }
    if (source.kind === 'file') this.readFirst(source.path)
    this.opened = openSource(source.kind === 'file' ? { ...source, from: 'end' } : source, {
      name: 'trial',
      clock,
      // A trial does not judge silence: whoever looks at it does.
      expectEverySeconds: 3600,
      poll,
    })
    this.opened.open((event) => this.held.take(event))
  }

  private newLease(): NodeJS.Timeout {
    const timer = setTimeout(() => void this.close(), leaseMs)
    timer.unref()
    return timer
  }

  private readFirst(path: string): void {
    try {
      let count = 0
      for (const { bytes, piece } of readLogSync(path)) {
        if (piece !== 'whole' || count++ >= firstOfFile) break
        this.held.take({ kind: 'line', atMs: Date.now(), monotonicMs: 0, bytes: Uint8Array.from(bytes), piece })
      }
    } catch {
      // The tail that is opened next says why the file cannot be read.
    }
  }

  heard(): HeardAnswer {
    if (!this.isClosed) {
      clearTimeout(this.lease)
      this.lease = this.newLease()
    }
    const { held } = this
    return {
      link: this.isClosed ? 'closed' : held.link,
      detail: this.isClosed ? 'no longer listening: nobody asked for 20 seconds' : held.detail,
      own: this.own,
      lines: held.count,
      everySeconds: held.everySeconds(),
      recent: held
        .lines()
        .slice(-shownLines)
        .map(({ number, line }) => ({
          number,
          atMs: line.atMs,
          text: decodeText(line.bytes, 0, Math.min(line.bytes.length, longestShown), 'utf-8').replace(/[\r\n]+$/, ''),
        })),
    }
  }

  async close(): Promise<void> {
    this.isClosed = true
    clearTimeout(this.lease)
    await this.opened?.close()
  }
}
