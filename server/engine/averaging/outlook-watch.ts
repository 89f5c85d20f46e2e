import { durationMs } from '../../../protocols/words/time.ts'
import { valueOfLimit } from '../alarms/limit-value.ts'
import { advises, type Outlook, outlookOf } from '../alarms/outlook.ts'
import { coverageWatched, isCoverageAtRisk, validityAhead } from '../alarms/validity-outlook.ts'
import type { EngineContext } from '../context.ts'
import type { AverageSet, OpenBlockSoFar } from './average-set.ts'
import type { AveragedValue } from './average-values.ts'
import { meanOf } from './rows.ts'

/** The level is that of the newest minutes: enough to smooth a swing, few enough to follow the plant. Our choice. */
const levelMinutes = 5

interface WatchedLimit {
  readonly index: number
  readonly value: AveragedValue
  readonly average: string
  readonly lengthMs: number
  readonly id: string
  readonly channel: string
  readonly kind: 'high' | 'low'
  readonly limit: number
  advised: boolean
  levels: number[]
}

/** At each finished minute: where the running blocks are heading against their limits, and whether their coverage is at risk. */
export class OutlookWatch {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly limits: readonly WatchedLimit[]
  /** Values whose coverage is watched, and in which block. */
  private readonly watched: readonly {
    readonly average: string
    readonly lengthMs: number
    readonly value: AveragedValue
  }[]
  outlooks: readonly Outlook[] = []

  /** `values`: those of the stream's own set, their groups counted within it. */
  constructor(context: EngineContext, stream: string, values: readonly AveragedValue[]) {
    this.context = context
    this.stream = stream
    this.limits = context.alarms.limits.flatMap((limit): WatchedLimit[] => {
      const { settings } = limit
      if (settings.of !== 'block' || limit.stream !== stream || !settings.average) return []
      if (!context.station.averaging.blocks.includes(settings.average)) return []
      const wanted = valueOfLimit(context.station, context.plan, context.averagePlan, limit.index)
      const value = values.find(
        ({ channel, quantity, unit }) =>
          channel === wanted?.channel && quantity === wanted.quantity && unit === wanted.unit,
      )
      if (!value) return []
      return [
        {
          index: limit.index,
          value,
          average: settings.average,
          lengthMs: durationMs(settings.average) as number,
          id: limit.limitId,
          channel: settings.channel,
          kind: settings.kind,
          limit: settings.value,
          advised: false,
          levels: [],
        },
      ]
    })
    this.watched = coverageWatched(context.station).flatMap((average) => {
      const limited = this.limits.filter((limit) => limit.average === average).map(({ value }) => value)
      const first = values.find(
        ({ channel, quantity }) => quantity === 'as_read' && context.station.channels[channel]?.species !== undefined,
      )
      return [...new Set(limited.length > 0 ? limited : first ? [first] : [])].map((value) => ({
        average,
        lengthMs: durationMs(average) as number,
        value,
      }))
    })
  }

  /** `countsAgainMs`: when readings count again, as far as known. `axisMs`: now, on the stream’s clock. */
  minute(set: AverageSet, countsAgainMs: number, axisMs: number): void {
    this.outlooks = this.limits.flatMap((limit) => this.ahead(limit, set, countsAgainMs, axisMs))
    const rule = this.context.station.averaging.validity
    let atRisk = false
    for (const { lengthMs, value } of this.watched) {
      const block = set.blockSoFar(lengthMs)
      if (block && !atRisk)
        atRisk = isCoverageAtRisk(validityAhead(rule, counted(block, value.group, set, countsAgainMs)).validity)
    }
    this.context.alarms.condition('coverage-at-risk', this.stream, atRisk, this.context.nowMs)
  }

  private ahead(limit: WatchedLimit, set: AverageSet, countsAgainMs: number, axisMs: number): Outlook[] {
    const newest = meanOf(limit.value, set.newestMinute)
    if (Number.isFinite(newest)) {
      if (limit.levels.length === levelMinutes) limit.levels.shift()
      limit.levels.push(newest)
    }
    const block = set.blockSoFar(limit.lengthMs)
    if (!block) return []
    const mean = meanOf(limit.value, block.total)
    const { level, spread } = levelOf(limit.levels)
    const outlook = outlookOf(
      {
        ...counted(block, limit.value.group, set, countsAgainMs),
        limit: { id: limit.id, channel: limit.channel, kind: limit.kind, value: limit.limit },
        average: limit.average,
        mean: Number.isFinite(mean) ? mean : null,
        level,
        spread,
      },
      this.context.station.averaging.validity,
    )
    limit.advised = advises(outlook, limit.kind, limit.advised)
    const ending =
      outlook.likelyLow === null || outlook.likelyHigh === null ? null : (outlook.likelyLow + outlook.likelyHigh) / 2
    this.context.alarms.advice(limit.index, limit.advised, axisMs, ending)
    return [outlook]
  }
}

function levelOf(levels: readonly number[]): { readonly level: number | null; readonly spread: number | null } {
  if (levels.length === 0) return { level: null, spread: null }
  const level = levels.reduce((sum, value) => sum + value, 0) / levels.length
  return {
    level,
    spread:
      levels.length < 2
        ? null
        : Math.sqrt(levels.reduce((sum, value) => sum + (value - level) ** 2, 0) / (levels.length - 1)),
  }
}

function counted(
  { period, total, denominatorMs }: OpenBlockSoFar,
  group: number,
  set: AverageSet,
  countsAgainMs: number,
) {
  const quadrants = total.quadrants[group] as number
  return {
    startMs: period.startMs,
    endMs: period.endMs,
    decidedMs: Math.min(period.endMs, set.openMinuteStartMs),
    countedMs: Math.round(total.weightMs[group] as number),
    denominatorMs,
    countsAgainMs,
    comingExcludedMs: 0,
    points: {
      perQuadrant: [quadrants & 1, (quadrants >> 1) & 1, (quadrants >> 2) & 1, (quadrants >> 3) & 1],
      firstMs: total.firstMs[group] as number,
      lastMs: total.lastMs[group] as number,
    },
    hasQualityAssurance: total.qualityAssurance,
  }
}
