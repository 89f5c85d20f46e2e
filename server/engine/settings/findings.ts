import { didYouMean } from './nearest.ts'
import type { StationFile } from './station-shape.ts'

export type SettingPath = readonly (string | number)[]

/** One fault of a file: where it stands and what would do. */
export interface Finding {
  readonly path: SettingPath
  readonly message: string
  /** The key is at fault, not its value. */
  readonly isKey?: true
}

/**
 * What could not be read and was replaced by a stand-in, so that the rest can still be checked: places in the lists, and
 * other settings such as `averaging.blocks`. Nothing is said of these beyond what made them unreadable.
 */
export interface Unsure {
  readonly streams: ReadonlySet<number>
  readonly channels: ReadonlySet<number>
  readonly limits: ReadonlySet<number>
  readonly settings: ReadonlySet<string>
}
/** Ids of stand-ins begin so; nothing else is likely to. */
export const unread = 'unread'
export const nothingUnsure: Unsure = { streams: new Set(), channels: new Set(), limits: new Set(), settings: new Set() }

/** A station file under examination: gathers findings, knows its ids. */
export class Examination {
  readonly findings: Finding[] = []
  readonly file: StationFile
  readonly unsure: Unsure
  readonly channelIds: readonly string[]
  readonly streamIds: readonly string[]

  constructor(file: StationFile, unsure: Unsure) {
    this.file = file
    this.unsure = unsure
    this.channelIds = file.channels.map(({ id }) => id)
    this.streamIds = file.streams.map(({ id }) => id)
  }

  add(path: SettingPath, message: string): void {
    this.findings.push({ path, message })
  }

  /** The channel called `id`; a finding where there is none. */
  channel(path: SettingPath, id: string): StationFile['channels'][number] | null {
    const found = this.file.channels[this.channelIds.indexOf(id)]
    if (!found && id !== unread) this.unknown(path, id, 'channel', this.channelIds)
    return found ?? null
  }

  /** `streams are inlet, outlet`: those that could be read. */
  get areStreams(): string {
    const known = this.streamIds.filter((id) => !id.startsWith(unread))
    return known.length > 0 ? `streams are ${known.join(', ')}` : 'the id of a stream is needed'
  }

  /** Place of the stream called `id`, −1 and a finding where there is none. */
  stream(path: SettingPath, id: string): number {
    const place = this.streamIds.indexOf(id)
    if (place < 0) this.unknown(path, id, 'stream', this.streamIds)
    return place
  }

  /** Nothing is said of an id where one of `ids` could not be read: it may be that one. */
  private unknown(path: SettingPath, id: string, what: string, ids: readonly string[]): void {
    if (ids.some((one) => one.startsWith(unread))) return
    const known = [...new Set(ids)]
    this.add(path, `"${id}" is no ${what}; ${what}s are ${known.join(', ')}${didYouMean(id, known)}`)
  }

  /** Whether the channel called `id` stands as it was written. */
  isSure(id: string): boolean {
    return !this.unsure.channels.has(this.channelIds.indexOf(id))
  }

  /** Whether something was found at `path` or below it. */
  has(...path: SettingPath): boolean {
    return this.findings.some((finding) => path.every((key, place) => finding.path[place] === key))
  }

  /** Values that must not occur twice; the second one is the finding. */
  unique(paths: readonly SettingPath[], values: readonly (string | undefined)[], what: string): void {
    values.forEach((value, place) => {
      const first = values.indexOf(value)
      const path = paths[place]
      if (value !== undefined && first < place && path)
        this.add(path, `"${value}" is ${what} of another already; each needs its own`)
    })
  }
}
