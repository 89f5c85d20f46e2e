import { type CrossSensitivity, sumsOf } from '../corrections/cross-sensitivity.ts'
import type { ZeroLine } from '../corrections/zero-line.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { TracedLane, TracedReading, TracedValue } from './traced.ts'

/** What is known of the zeros that came after a reading, by the station's channel index. */
export interface FollowingZeros {
  /** Channels whose zero moved enough to be corrected. */
  readonly lines: ReadonlyMap<number, ZeroLine>
  /** Of each channel that has a zero after the reading: when that was taken. */
  readonly followed: ReadonlyMap<number, number>
}

/**
 * A reading as it stands in the averages that are final: with the zero at its own time, on the line between the zeros before
 * and after it. Held minutes reach the same sums without their readings; here each is corrected by itself.
 */
export function settledReading(
  station: StationFile,
  cross: CrossSensitivity | null,
  lanes: readonly TracedLane[],
  reading: TracedReading,
  { lines, followed }: FollowingZeros,
): TracedReading {
  const indexOf = (id: string): number => station.channels.findIndex((channel) => channel.id === id)
  const values: Record<string, TracedValue> = {}
  const alone = new Map<number, number>()
  for (const [id, value] of Object.entries(reading.values)) {
    const index = indexOf(id)
    values[id] = value
    if (value.zero === null || value.asRead === null) {
      if (value.alone !== null) alone.set(index, value.alone)
      continue
    }
    const line = lines.get(index)
    const zero = value.zero + (line ? line.perMs * (reading.atMs - line.fromMs) : 0)
    const own = (value.asRead - zero) * value.spanFactor * value.dilution
    alone.set(index, own)
    values[id] = { ...value, zero, zeroTo: followed.get(index) ?? null, isOnLine: line !== undefined, alone: own }
  }
  const corrected = new Map<number, number>()
  const known = (index: number): number => corrected.get(index) ?? Number.NaN
  for (const [index, own] of alone) {
    const parts = cross?.partsOf(index)
    corrected.set(
      index,
      parts ? parts.reduce((sum, part) => sum + part.factor * (alone.get(part.channel) ?? Number.NaN), 0) : own,
    )
  }
  for (const { channel, members } of sumsOf(station))
    if (reading.values[station.channels[channel]?.id ?? ''])
      corrected.set(
        channel,
        members.reduce((sum, member) => sum + member.factor * known(member.channel), 0),
      )
  for (const [id, value] of Object.entries(values))
    if (value.corrected !== null && corrected.has(indexOf(id)))
      values[id] = { ...value, corrected: Number.isFinite(known(indexOf(id))) ? known(indexOf(id)) : null }
  const laneValue = (lane: TracedLane, as: number): number =>
    lane.from === 'corrected' ? (values[lane.channel]?.corrected ?? as) : as
  return {
    ...reading,
    values,
    parts: reading.parts.map((part) => ({
      ...part,
      values: part.values.map((value, place) => laneValue(lanes[place] as TracedLane, value)),
    })),
  }
}
