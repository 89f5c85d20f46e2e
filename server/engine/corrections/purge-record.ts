import type { EngineContext } from '../context.ts'
import { uncleanness } from './clean-purge.ts'
import type { EndedPurge, ZeroChange, ZeroFound } from './zero.ts'

/**
 * Takes down what a purge gave: a drift record of each channel, before and after; whether the air was clean; whether the zero moved
 * further than the limit. Returns the zeros that averages waited for; those of channels
 * from which none is subtracted have no value before and after.
 */
export function recordPurge(context: EngineContext, purge: EndedPurge): ZeroChange[] {
  const { station, zeros, zeroed, outputs } = context
  const found = zeros.close(purge.channels)
  const unclean = uncleanness(station, found, purge.phase === 'purge')
  const isUsable = unclean.length === 0 || station.corrections.cleanPurge.unclean === 'note'
  if (unclean.length > 0)
    outputs.push({
      kind: 'notice',
      code: 'purge_not_clean',
      stream: purge.stream,
      channel: null,
      atMs: purge.endMs,
      text: `the ${purge.phase} was not clean: ${unclean.join('; ')}; ${isUsable ? 'its zeros are used all the same' : 'it gives no zero'}`,
    })
  const changes: ZeroChange[] = []
  for (const one of found) {
    const before = zeros.inUse(one.channel)
    if (isUsable) {
      const { channel, mean, standardDeviation, count } = one
      context.zeroRecord.take({ channel, atMs: purge.endMs, mean, standardDeviation, count })
    }
    const used = isUsable && zeroed[one.channel] === 1
    context.trace?.zeros.taken(one, purge.endMs, used)
    outputs.push({
      kind: 'zero',
      channel: station.channels[one.channel]?.id ?? '',
      atMs: purge.endMs,
      mean: one.mean,
      standardDeviation: one.standardDeviation,
      count: one.count,
      used,
      inUse: Number.isNaN(before.value) ? null : before.value,
      clean: unclean.length === 0,
      middleMs: one.middleMs,
    })
    if (isUsable) judge(context, purge, one)
    if (!used && !(isUsable && context.drift.judged[one.channel] === 1)) continue
    if (used) zeros.use(one)
    changes.push({ channel: one.channel, before, after: zeros.inUse(one.channel) })
  }
  return changes
}

function judge(context: EngineContext, purge: EndedPurge, { channel, mean }: ZeroFound): void {
  const drifted = context.drift.zero(channel, mean, purge)
  const settings = context.station.channels[channel]
  if (!drifted || !settings) return
  context.outputs.push({
    kind: 'notice',
    code: 'drift_beyond_limit',
    stream: purge.stream,
    channel: settings.id,
    atMs: purge.endMs,
    text: `the zero of ${settings.id} moved by ${drifted}: beyond the limit`,
  })
}
