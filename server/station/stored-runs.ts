import { basename, join } from 'node:path'
import type { ChannelInfo, PhaseSpan } from '../../protocols/live/messages.ts'
import type { MarksAnswer, RecordingSummary, SeriesAnswer } from '../../protocols/live/requests.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { createEngine } from '../engine/state.ts'
import type { BlocksQuery, MarksQuery, SeriesQuery } from '../http/station-face.ts'
import type { TraceMinute } from '../recording/recording.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { recordingsIn } from '../recording/recordings-in.ts'
import type { StageHour } from '../recording/trace-hours.ts'
import { channelInfos } from './channel-infos.ts'
import { marksOf } from './marks.ts'
import { stationFromSettings } from './recorded-settings.ts'
import { SeriesColumns } from './series.ts'

const endOfName = '.flue.sqlite'
const hourMs = 3_600_000
/** How much of a trace is read at once. */
const traceChunkMs = hourMs

/** What is asked of recordings in a data folder. `id`: the file's name without its end. */
export class StoredRuns {
  private readonly folder: string

  constructor(folder: string) {
    this.folder = folder
  }

  /** The path of a recording, only if it is listed: an id never leads out of the folder. */
  pathOf(id: string): string | null {
    return recordingsIn(this.folder).some(({ file }) => file === `${id}${endOfName}`)
      ? join(this.folder, `${id}${endOfName}`)
      : null
  }

  idOf(path: string): string {
    return basename(path, endOfName)
  }

  list(runningPath: string | null): RecordingSummary[] {
    return recordingsIn(this.folder).map((found): RecordingSummary => {
      const id = basename(found.file, endOfName)
      if (!found.readable)
        return {
          id,
          name: id,
          station: '',
          state: 'damaged',
          startMs: null,
          endMs: null,
          lines: 0,
          bytes: found.bytes,
          seals: 0,
          head: null,
          speed: 1,
          invented: false,
          detail: found.reason,
        }
      const { header, extent, runState } = found
      const isRunning = runningPath === found.path
      const state = header.standby ? 'standby' : isRunning ? 'running' : runState === 'ended' ? 'ended' : 'suspended'
      return {
        id,
        name: header.runName,
        station: header.station,
        state,
        startMs: extent.firstMs,
        endMs: isRunning ? null : extent.lastMs,
        lines: extent.lines,
        bytes: found.bytes,
        seals: extent.seals,
        head: extent.head,
        speed: 1,
        invented: header.invented,
        detail: '',
      }
    })
  }

  private read<T>(path: string, what: (reader: RecordingReader) => T): T {
    const reader = openRecording(path)
    try {
      return what(reader)
    } finally {
      reader.close()
    }
  }

  channels(path: string): ChannelInfo[] {
    const station = this.read(path, (reader) => stationFromSettings(reader.header.settings))
    return channelInfos(station, createEngine(station).context)
  }

  /** Read a page at a time as they are gone through: those of a month are neither held nor waited for. */
  *blocks(path: string, { kind, average, channel, quantity, fromMs, toMs }: BlocksQuery): Generator<AverageRow> {
    const filter = {
      ...(average ? { average } : {}),
      ...(channel ? { channel } : {}),
      ...(quantity ? { quantity } : {}),
      ...(fromMs === undefined ? {} : { fromMs }),
      ...(toMs === undefined ? {} : { toMs }),
    }
    const reader = openRecording(path)
    try {
      for (const page of reader.averagePages(kind, filter)) yield* page
    } finally {
      reader.close()
    }
  }

  phases(path: string, fromMs: number, toMs: number): PhaseSpan[] {
    return this.read(path, (reader) => reader.phaseSpans({ fromMs, toMs }).map((span) => ({ ...span })))
  }

  marks(path: string, query: MarksQuery): MarksAnswer {
    return this.read(path, (reader) => marksOf(reader, query))
  }

  series(path: string, query: SeriesQuery, open: readonly TraceMinute[]): SeriesAnswer {
    const columns = new SeriesColumns(query)
    this.read(path, (reader) => {
      const { streams } = JSON.parse(reader.header.settings) as { streams: { id: string }[] }
      for (const { id } of streams) takeTrace(reader, id, query, columns)
    })
    for (const { minuteMs, offsetsMs, channels } of open)
      for (const { channel, [query.value]: values } of channels) columns.take({ minuteMs, offsetsMs, channel, values })
    return columns.answer()
  }
}

/**
 * A stream's readings into the columns of a chart. Whole hours come from the few cells that are kept of each where columns
 * are wide enough; what they do not hold (the edges, the hour that is not over, older recordings) minute by minute.
 */
function takeTrace(reader: RecordingReader, stream: string, query: SeriesQuery, columns: SeriesColumns): void {
  const firstHour = Math.ceil(query.fromMs / hourMs) * hourMs
  const behindHours = Math.floor(query.toMs / hourMs) * hourMs
  const hours = new Map<number, StageHour[]>()
  for (const channel of columns.takesHours ? query.channels : [])
    for (const hour of reader.traceHours(stream, channel, firstHour, behindHours, query.value)) {
      const found = hours.get(hour.hourMs)
      if (found) found.push(hour)
      else hours.set(hour.hourMs, [hour])
    }
  let from = Math.floor(query.fromMs / 60_000) * 60_000
  // From one stored minute to the next: a stretch may be longer than all that is stored, by thousands of years.
  const takeMinutes = (toMs: number) => {
    const chunkFrom = (ms: number) => reader.traceMinuteFrom(stream, ms, toMs)
    for (let at = chunkFrom(from); at !== null; at = chunkFrom(at + traceChunkMs))
      for (const minute of reader.traceStage(
        stream,
        at,
        Math.min(toMs, at + traceChunkMs),
        query.channels,
        query.value,
      ))
        columns.take(minute)
  }
  for (const [start, found] of [...hours].sort(([a], [b]) => a - b)) {
    takeMinutes(start)
    for (const hour of found) columns.takeHour(hour)
    from = start + hourMs
  }
  takeMinutes(query.toMs)
}
