import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { durationMs } from '../../../protocols/words/time.ts'
import { advises, type Outlook, outlookOf } from '../alarms/outlook.ts'
import { coverageWatched, isCoverageAtRisk } from '../alarms/validity-outlook.ts'
import type { EngineContext } from '../context.ts'
import { valueOfLimit } from '../alarms/limit-value.ts'
import type { AverageSet, OpenBlockSoFar } from './average-set.ts'

/** The level is that of the newest minutes: enough to smooth a swing, few enough to follow the plant. Our choice. */
const levelMinutes = 5

interface WatchedLimit {
  readonly index: number
  readonly key: string
  readonly average: string
  readonly id: string
  readonly channel: string
  readonly kind: 'high' | 'low'
  readonly value: number
  advised: boolean
  levels: number[]
}

const keyOf = (row: Pick<AverageRow, 'channel' | 'quantity' | 'unit'>): string => `${row.channel}/${row.quantity}/${row.unit}`

/** At each finished minute: where the running blocks are heading against their limits, and whether their coverage is at risk. */
export class OutlookWatch {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly limits: readonly WatchedLimit[]
  private readonly watched: readonly string[]
  outlooks: readonly Outlook[] = []

  constructor(context: EngineContext, stream: string) {
    this.context = context
    this.stream = stream
    this.watched = coverageWatched(context.station)
    this.limits = context.alarms.limits.flatMap((limit): WatchedLimit[] => {
      const { settings } = limit
      if (settings.of !== 'block' || limit.stream !== stream || !settings.average) return []
      const value = valueOfLimit(context.station, context.plan, context.averagePlan, limit.index)
      if (!value) return []
      return [{ index: limit.index, key: keyOf({ channel: settings.channel, quantity: value.quantity, unit: value.unit }), average: settings.average, id: limit.limitId, channel: settings.channel, kind: settings.kind, value: settings.value, advised: false, levels: [] }]
    })
  }

  /** `countsAgainMs`: when readings count again, as far as known. `axisMs`: now, on the stream’s clock. */
  minute(set: AverageSet, countsAgainMs: number, axisMs: number): void {
    const soFar = new Map<string, OpenBlockSoFar>()
    const blockOf = (average: string): OpenBlockSoFar | null => {
      const found = soFar.get(average) ?? set.blockSoFar(durationMs(average) as number)
      if (found) soFar.set(average, found)
      return found
    }
    const newest = this.limits.length > 0 ? set.newestMinuteRows() : []
    this.outlooks = this.limits.flatMap((limit) => this.ahead(limit, blockOf(limit.average), newest, set, countsAgainMs, axisMs))
    this.coverage(blockOf, set, countsAgainMs)
  }

  private ahead(limit: WatchedLimit, block: OpenBlockSoFar | null, newest: readonly AverageRow[], set: AverageSet, countsAgainMs: number, axisMs: number): Outlook[] {
    const minute = newest.find((row) => keyOf(row) === limit.key)
    if (minute && minute.mean !== null) limit.levels = [...limit.levels.slice(1 - levelMinutes), minute.mean]
    if (!block) return []
    const row = block.rows.find((candidate) => keyOf(candidate) === limit.key)
    if (!row) return []
    const level = limit.levels.length > 0 ? limit.levels.reduce((sum, value) => sum + value, 0) / limit.levels.length : null
    const spread = level === null || limit.levels.length < 2 ? null : Math.sqrt(limit.levels.reduce((sum, value) => sum + (value - level) ** 2, 0) / (limit.levels.length - 1))
    const outlook = outlookOf({ ...this.counted(block, row, set, countsAgainMs), limit, average: limit.average, mean: row.mean, level, spread }, this.context.station.averaging.validity)
    limit.advised = advises(outlook, limit.kind, limit.advised)
    const ending = outlook.likelyLow === null || outlook.likelyHigh === null ? null : (outlook.likelyLow + outlook.likelyHigh) / 2
    this.context.alarms.advice(limit.index, limit.advised, axisMs, ending)
    return [outlook]
  }

  private counted(block: OpenBlockSoFar, row: AverageRow, set: AverageSet, countsAgainMs: number) {
    const group = block.groupOf(row)
    const { total } = block
    return {
      startMs: block.period.startMs, endMs: block.period.endMs, decidedMs: Math.min(block.period.endMs, set.openMinuteStartMs), countedMs: row.countedMs, denominatorMs: block.denominatorMs, countsAgainMs, comingExcludedMs: 0,
      points: { perQuadrant: [0, 1, 2, 3].map((quadrant) => (total.quadrants[group]! >> quadrant) & 1), firstMs: total.firstMs[group] as number, lastMs: total.lastMs[group] as number },
      hasQualityAssurance: total.qualityAssurance,
    }
  }

  private coverage(blockOf: (average: string) => OpenBlockSoFar | null, set: AverageSet, countsAgainMs: number): void {
    let atRisk = false
    for (const average of this.watched) {
      const block = blockOf(average)
      if (!block) continue
      const keys = new Set(this.limits.filter((limit) => limit.average === average).map(({ key }) => key))
      const rows = keys.size > 0 ? block.rows.filter((row) => keys.has(keyOf(row))) : block.rows.filter(({ species, quantity }) => species !== null && quantity === 'as_read').slice(0, 1)
      for (const row of rows) {
        const counted = this.counted(block, row, set, countsAgainMs)
        const { validity } = outlookOf({ ...counted, limit: { id: '', channel: '', kind: 'high', value: 0 }, average, mean: null, level: null, spread: null }, this.context.station.averaging.validity)
        atRisk ||= isCoverageAtRisk(validity)
      }
    }
    this.context.alarms.condition('coverage-at-risk', this.stream, atRisk, this.context.nowMs)
  }
}
