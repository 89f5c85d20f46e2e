import type { EngineOutput, ReadingOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Derived, TraceMinute } from '../recording/recording.ts'
import { TraceHours } from './trace-hours.ts'

const minuteMs = 60_000
const nothing: readonly Derived[] = []
/** More than a station at speed closes while the disk is waited for. */
const keptMinutes = 60

interface OpenMinute {
  readonly minuteMs: number
  readonly readings: ReadingOutput[]
}

/** Gathers readings into minutes for the charts; a minute is handed on when the next begins. */
export class TraceMinutes {
  private readonly channels = new Map<string, readonly number[]>()
  private readonly ids: readonly string[]
  private readonly open = new Map<string, OpenMinute>()
  private closed: TraceMinute[] = []
  private readonly hours = new TraceHours()

  constructor(station: StationFile) {
    this.ids = station.channels.map(({ id }) => id)
    const streamOf = (channel: StationFile['channels'][number]): string | undefined =>
      channel.stream ?? station.channels.find(({ id }) => id === channel.sumOf?.[0])?.stream
    for (const { id } of station.streams)
      this.channels.set(
        id,
        station.channels.flatMap((channel, index) => (streamOf(channel) === id ? [index] : [])),
      )
  }

  /** Takes a reading; hands out the minute, and the hour, that it shows to be over. */
  take(reading: ReadingOutput): readonly Derived[] {
    const start = Math.floor(reading.atMs / minuteMs) * minuteMs
    const open = this.open.get(reading.stream)
    if (open && open.minuteMs === start) {
      open.readings.push(reading)
      return nothing
    }
    this.open.set(reading.stream, { minuteMs: start, readings: [reading] })
    if (!open) return nothing
    const minute = this.minute(reading.stream, open)
    this.closed = [...this.closed.slice(1 - keptMinutes), minute]
    const hours = this.hours.take(minute).map((row): Derived => ({ table: 'trace-hour', row }))
    return [{ table: 'trace', row: minute }, ...hours]
  }

  /** All that is still open, at the end of a recording. */
  rest(): Derived[] {
    const minutes = this.openMinutes()
    const over = minutes.flatMap((minute) => this.hours.take(minute))
    return [
      ...minutes.map((row): Derived => ({ table: 'trace', row })),
      ...[...over, ...this.hours.openHours()].map((row): Derived => ({ table: 'trace-hour', row })),
    ]
  }

  /** The newest minutes, open ones too: some of them may be on their way to the disk while a chart is asked for. */
  newest(): TraceMinute[] {
    return [...this.closed, ...this.openMinutes()]
  }

  /** What the open minutes hold so far. */
  openMinutes(): TraceMinute[] {
    return [...this.open].map(([stream, minute]) => this.minute(stream, minute))
  }

  private minute(stream: string, { minuteMs: start, readings }: OpenMinute): TraceMinute {
    return {
      stream,
      minuteMs: start,
      offsetsMs: Float64Array.from(readings, ({ atMs }) => atMs - start),
      channels: (this.channels.get(stream) ?? []).map((index) => ({
        channel: this.ids[index] as string,
        asRead: columnOf(readings, 'asRead', index),
        corrected: columnOf(readings, 'corrected', index),
        referred: columnOf(readings, 'referred', index),
      })),
    }
  }
}

/** A loop: made of an iterable, a column took ten times as long, and there are three for each channel and minute. */
function columnOf(
  readings: readonly ReadingOutput[],
  stage: 'asRead' | 'corrected' | 'referred',
  index: number,
): Float32Array {
  const column = new Float32Array(readings.length)
  for (let at = 0; at < readings.length; at++) column[at] = readings[at]?.[stage][index] ?? Number.NaN
  return column
}

/** What of the engine's outputs is stored beside the lines. `atMs`: station time of what they follow from. */
export function derivedRows(outputs: readonly EngineOutput[], trace: TraceMinutes, atMs: number): Derived[] {
  const rows: Derived[] = []
  for (const output of outputs) {
    switch (output.kind) {
      case 'block':
      case 'rolling':
        rows.push({
          table: output.kind,
          row: output.row,
          ...(output.revises ? { revision: { atMs, reason: output.revises } } : {}),
        })
        break
      case 'alarm':
        rows.push({ table: 'alarm', row: output.transition })
        break
      case 'phase-span': {
        const { kind: _, ...row } = output
        rows.push({ table: 'phase-span', row })
        break
      }
      case 'plant-span': {
        const { kind: _, ...row } = output
        rows.push({ table: 'plant-span', row })
        break
      }
      case 'zero': {
        const { kind: _, ...row } = output
        rows.push({ table: 'zero', row })
        break
      }
      case 'notice': {
        const { kind: _, ...row } = output
        rows.push({ table: 'notice', row })
        break
      }
      case 'reading': {
        rows.push(...trace.take(output))
        break
      }
      case 'refused':
      case 'run-due':
        break
    }
  }
  return rows
}
