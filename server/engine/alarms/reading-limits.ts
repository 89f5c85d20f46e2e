import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { AveragedValue } from '../averaging/average-values.ts'
import type { MappedChannel } from '../channel-map.ts'
import type { EngineContext } from '../context.ts'
import type { PhaseCursor } from '../phases/phase-cursor.ts'
import { valueOfLimit } from './limit-value.ts'

/** Of this module's own: what belongs to another one is looked up anew each time, here for each reading. */
const { counts } = countFlag

interface ReadingLimit {
  readonly index: number
  readonly value: AveragedValue
  /** Channels that must all count and be settled, and how long each waits. */
  readonly needs: readonly { readonly channel: number; readonly waitMs: number }[]
  readonly inputs: Float64Array
}

/** The channels whose corrected readings are needed for the limits of any stream, with the members of sums. By the station's index. */
export function channelsOfReadingLimits({ station, plan, averagePlan, alarms }: EngineContext): ReadonlySet<number> {
  const needed = alarms.limits.flatMap(({ settings, index }) => {
    const value = settings.of === 'reading' ? valueOfLimit(station, plan, averagePlan, index) : null
    return value ? (value.convert?.inputs ?? [value.channel]) : []
  })
  const members = needed.flatMap((channel) => station.channels[channel]?.sumOf ?? [])
  return new Set([...needed, ...members.map((id) => station.channels.findIndex((channel) => channel.id === id))])
}

/** Holds limits of readings against each new one, converted reading by reading. What does not count decides nothing. */
export class ReadingLimits {
  private readonly context: EngineContext
  private readonly limits: readonly ReadingLimit[]

  constructor(context: EngineContext, stream: string, channels: readonly MappedChannel[]) {
    this.context = context
    const waitOf = new Map(channels.map(({ index, waitMs }) => [index, waitMs]))
    this.limits = context.alarms.limits.flatMap((limit): ReadingLimit[] => {
      if (limit.settings.of !== 'reading' || limit.stream !== stream) return []
      const value = valueOfLimit(context.station, context.plan, context.averagePlan, limit.index)
      if (!value) return []
      const inputs = value.convert?.inputs ?? [value.channel]
      return [
        {
          index: limit.index,
          value,
          needs: inputs.map((channel) => ({ channel, waitMs: waitOf.get(channel) ?? 0 })),
          inputs: new Float64Array(inputs.length),
        },
      ]
    })
  }

  take(live: PhaseCursor, at: number): void {
    if (this.limits.length === 0 || (live.phase !== 'measure' && live.phase !== 'settle')) return
    for (let next = 0; next < this.limits.length; next++) {
      const limit = this.limits[next] as ReadingLimit
      this.context.alarms.limitValue(limit.index, this.valueOf(limit, live, at), at)
    }
  }

  private valueOf({ value, needs, inputs }: ReadingLimit, live: PhaseCursor, at: number): number {
    const { flags, corrected, raw } = this.context
    for (let next = 0; next < needs.length; next++) {
      const need = needs[next] as ReadingLimit['needs'][number]
      if (flags[need.channel] !== counts || at < live.measureFromMs + need.waitMs) return Number.NaN
      inputs[next] = corrected[need.channel] as number
    }
    if (value.convert) return value.convert.convert(inputs)
    return value.quantity === 'as_read' ? (raw[value.channel] as number) : (inputs[0] as number)
  }
}
