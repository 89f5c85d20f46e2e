import type { ChannelInfo, SnapshotMessage } from '../../../protocols/live/messages.ts'
import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { ValueQuantity } from '../../../protocols/words/quantities.ts'
import { durationMs, type IsoDuration } from '../../../protocols/words/time.ts'
import { channels, gap, limits, minute, nightStart, phaseAt, referenceOxygen, valuesAt } from './scenario.ts'

type AverageRow = SnapshotMessage['openBlocks'][number]
const sampleMs = 10_000

/** The same for all rows. */
const invented = { uncertainty: 4 }

/** As a station judges that subtracts the uncertainty. */
function verdictsOf(channel: string, quantity: ValueQuantity, average: string, mean: number): AverageRow['verdicts'] {
  const { uncertainty } = invented
  return limits
    .filter((limit) => limit.channel === channel && limit.quantity === quantity && limit.average === average)
    .map(({ id, value }) => {
      const isAbove = mean - uncertainty > value
      const verdict = isAbove ? 'above' : mean + uncertainty > value ? 'undecided' : 'below'
      return { limit: id, verdict, complies: !isAbove, result: mean }
    })
}

/** What is averaged of a channel, the most referred last. */
const quantitiesOf = (channel: ChannelInfo): ValueQuantity[] =>
  channel.referred ? ['as_read', 'drift_corrected', 'at_reference_oxygen'] : ['as_read']

/** The averages of one block of the invented night up to `nowMs`, sampled each ten seconds. */
export function rowsOfBlock(
  average: IsoDuration,
  startMs: number,
  nowMs: number,
  only: readonly ChannelInfo[] = channels,
): AverageRow[] {
  const length = durationMs(average) ?? minute
  const endMs = startMs + length
  const counted: ReturnType<typeof valuesAt>[] = []
  for (let at = startMs; at < Math.min(endMs, nowMs); at += sampleMs) {
    if (at >= nightStart && phaseAt(at).phase === 'measure') counted.push(valuesAt(at))
  }
  const readings = counted.filter((values) => values !== null)
  const countedMs = readings.length * sampleMs
  const coverage = Math.min(1, countedMs / length)
  const reasons: BlockReason[] = []
  if (coverage * 3 < 2 && endMs <= nowMs) reasons.push(readings.length === 0 ? 'nothing_counted' : 'coverage_low')
  if (startMs < nightStart) reasons.push('run_started')
  if (startMs < gap.endMs && endMs > gap.startMs) reasons.push('gap')
  const state = endMs > nowMs ? 'open' : endMs > nowMs - 2 * minute ? 'provisional' : 'final'
  return only
    .filter((channel) => !channel.supporting)
    .flatMap((channel) =>
      quantitiesOf(channel).map((quantity): AverageRow => {
        const key = quantity === 'at_reference_oxygen' ? 'referred' : quantity === 'as_read' ? 'asRead' : 'corrected'
        const values = readings.map((reading) => reading[channel.id]?.[key] ?? null).filter((value) => value !== null)
        const mean = values.length ? values.reduce((sum, value) => sum + value, 0) / values.length : null
        const spread =
          mean === null || values.length < 2
            ? null
            : Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
        const isReferred = quantity === 'at_reference_oxygen'
        const valid =
          endMs > nowMs
            ? coverage * 3 >= 2
            : !reasons.some((reason) => reason === 'coverage_low' || reason === 'nothing_counted')
        return {
          stream: channel.stream,
          channel: channel.id,
          species: channel.species,
          quantity,
          unit: isReferred ? 'mg/m3' : channel.unit,
          basis: channel.basis,
          referenceOxygen: isReferred ? referenceOxygen : null,
          conditions: isReferred ? '273.15K,101.325kPa' : null,
          average,
          startMs,
          endMs,
          mean,
          minimum: values.length ? Math.min(...values) : null,
          maximum: values.length ? Math.max(...values) : null,
          standardDeviation: spread,
          count: readings.length * 10,
          countedMs,
          coverage,
          valid,
          reasons,
          detection: null,
          state,
          uncertainty: mean === null ? null : invented.uncertainty,
          verdicts: valid && state !== 'open' && mean !== null ? verdictsOf(channel.id, quantity, average, mean) : [],
        }
      }),
    )
}

export const blockStart = (average: IsoDuration, atMs: number): number =>
  Math.floor(atMs / (durationMs(average) ?? minute)) * (durationMs(average) ?? minute)

/** All ended blocks in [fromMs, toMs), oldest first. */
export function endedRows(
  average: IsoDuration,
  fromMs: number,
  toMs: number,
  nowMs: number,
  only: readonly ChannelInfo[] = channels,
): AverageRow[] {
  const length = durationMs(average) ?? minute
  const rows: AverageRow[] = []
  for (
    let start = blockStart(average, Math.max(fromMs, nightStart));
    start < toMs && start + length <= nowMs;
    start += length
  )
    rows.push(...rowsOfBlock(average, start, nowMs, only))
  return rows
}
