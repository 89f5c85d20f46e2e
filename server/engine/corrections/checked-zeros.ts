import type { Check } from '../amendments.ts'
import type { EngineContext } from '../context.ts'
import { checksOf } from './check-stretches.ts'
import type { ZeroChange } from './zero.ts'

/** A run begins at `atMs`: where no purge has given a zero yet, the last zero check before the run does. */
export function zerosBefore(context: EngineContext, channels: readonly number[], atMs: number): void {
  for (const channel of channels) {
    if (!Number.isNaN(context.zeros.inUse(channel).value)) continue
    const before = zeroChecks(context, channel).findLast(({ performedMs }) => performedMs <= atMs)
    if (!before) continue
    context.zeros.use({ channel, mean: offsetOf(before), middleMs: before.performedMs })
    context.trace?.zeros.checked(channel, offsetOf(before), before)
  }
}

/** A run ends at `atMs`: the first zero check after it is the zero that its last averages waited for. */
export function zerosAfter(context: EngineContext, channels: readonly number[], atMs: number): ZeroChange[] {
  return channels.flatMap((channel) => {
    const before = context.zeros.inUse(channel)
    const after = zeroChecks(context, channel).find(({ performedMs }) => performedMs >= atMs)
    if (!after || Number.isNaN(before.value)) return []
    context.trace?.zeros.checked(channel, offsetOf(after), after)
    return [{ channel, before, after: { value: offsetOf(after), middleMs: after.performedMs } }]
  })
}

/** Of channels from which zeros are subtracted. */
const zeroChecks = (context: EngineContext, channel: number): Check[] =>
  context.checks.length > 0 && context.zeroed[channel] === 1
    ? checksOf(context.checks, 'zero', context.station.channels[channel]?.id ?? '')
    : []

const offsetOf = ({ response, expected }: Check): number => response - expected
