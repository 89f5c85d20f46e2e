import { countFlag } from '../../protocols/words/count-flags.ts'
import type { MappedChannel } from './channel-map.ts'
import type { EngineContext } from './context.ts'
import type { ReadingOutput } from './outputs.ts'
import type { PhaseCursor } from './phases/phase-cursor.ts'

/** The reading as it stands when its line comes, for the live trace and readings.csv. Arrays are made anew: they outlast the step. */
export function liveReading(
  context: EngineContext,
  stream: string,
  channels: readonly MappedChannel[],
  live: PhaseCursor,
  at: number,
  sequence: number,
  scratch: Float64Array,
): ReadingOutput {
  const size = context.raw.length
  const asRead = new Float64Array(size).fill(Number.NaN)
  const corrected = new Float64Array(size).fill(Number.NaN)
  const referred = new Float64Array(size).fill(Number.NaN)
  const flags = new Uint8Array(size).fill(countFlag.absent)
  const measuring = live.phase === 'measure' || live.phase === 'settle'
  for (const { index, waitMs } of channels) {
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
  context.exclusions?.mark(
    at,
    channels.map(({ index }) => index),
    flags,
  )
  for (const value of context.liveValues) {
    if (!channels.some(({ index }) => index === value.channel)) continue
    value.inputs.forEach((input, place) => {
      scratch[place] = context.flags[input] === countFlag.counts ? (context.corrected[input] as number) : Number.NaN
    })
    const number = value.convert(scratch)
    referred[value.channel] = Number.isFinite(number) ? number : Number.NaN
  }
  return {
    kind: 'reading',
    stream,
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
