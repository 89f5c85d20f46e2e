import { countFlag } from '../../protocols/words/count-flags.ts'
import type { MappedChannel } from './channel-map.ts'
import type { EngineContext } from './context.ts'
import type { ConvertedValue } from './conversions/converted-value.ts'
import type { ReadingOutput } from './outputs.ts'
import type { PhaseCursor } from './phases/phase-cursor.ts'

/** Tells the readings of one stream as they stand when their lines come, for the live trace and readings.csv. */
export class LiveReadings {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly channels: readonly MappedChannel[]
  private readonly channelIndexes: readonly number[]
  private readonly live: PhaseCursor
  private readonly values: readonly ConvertedValue[]
  private readonly inputs: Float64Array

  constructor(context: EngineContext, stream: string, channels: readonly MappedChannel[], live: PhaseCursor) {
    this.context = context
    this.stream = stream
    this.channels = channels
    this.channelIndexes = channels.map(({ index }) => index)
    this.live = live
    this.values = context.liveValues.filter(({ channel }) => this.channelIndexes.includes(channel))
    this.inputs = new Float64Array(context.raw.length)
  }

  /** The reading of the line that came at `at`. Arrays are made anew: they outlast the step. Plain ones, which cost a tenth of typed ones so short. */
  reading(at: number, sequence: number): ReadingOutput {
    const { context, live, inputs } = this
    const size = context.raw.length
    const asRead = new Array<number>(size).fill(Number.NaN)
    const corrected = new Array<number>(size).fill(Number.NaN)
    const referred = new Array<number>(size).fill(Number.NaN)
    const flags = new Uint8Array(size).fill(countFlag.absent)
    const measuring = live.phase === 'measure' || live.phase === 'settle'
    for (const { index, waitMs } of this.channels) {
      asRead[index] = context.raw[index] as number
      corrected[index] = context.corrected[index] as number
      const flag = context.flags[index] as number
      flags[index] =
        flag !== countFlag.counts
          ? flag
          : !context.run.isOn
            ? countFlag.noRun
            : live.phase === 'fault'
              ? countFlag.instrumentFault
              : !measuring
                ? countFlag.notMeasuring
                : at < live.measureFromMs + waitMs
                  ? countFlag.settling
                  : !context.plant.counts(at)
                    ? countFlag.plantNotRunning
                    : countFlag.counts
    }
    context.exclusions?.mark(at, this.channelIndexes, flags)
    for (const value of this.values) {
      for (let place = 0; place < value.inputs.length; place++) {
        const input = value.inputs[place] as number
        inputs[place] = context.flags[input] === countFlag.counts ? (context.corrected[input] as number) : Number.NaN
      }
      const number = value.convert(inputs)
      referred[value.channel] = Number.isFinite(number) ? number : Number.NaN
    }
    return {
      kind: 'reading',
      stream: this.stream,
      atMs: at,
      sequence,
      phase: live.phase,
      plant: context.plant.at(at),
      asRead,
      corrected,
      referred,
      flags,
    }
  }
}
