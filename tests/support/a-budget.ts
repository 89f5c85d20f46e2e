import { Accumulator } from '../../server/engine/averaging/accumulator.ts'
import { partOf, rowContext } from '../../server/engine/averaging/average-part.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { createEngine } from '../../server/engine/state.ts'
import type { Budget } from '../../server/engine/uncertainty/budget.ts'
import type { TakenZero } from '../../server/engine/uncertainty/zero-record.ts'

/** Minutes of readings, each minute one list per channel of the station file, all of the same length; a second each. Times in ms. */
export interface BudgetCase {
  readonly station: StationFile
  readonly channel: string
  readonly quantity: string
  readonly unit?: string
  readonly minutes: readonly (readonly (readonly number[])[])[]
  readonly denominatorMs?: number
  readonly zeros?: readonly TakenZero[]
  readonly zerosInterpolated?: boolean
}

/** The budget of one mean, from the readings that went into it, with the sums of the real averages. */
export function aBudget(of: BudgetCase): Budget {
  const { context } = createEngine(of.station)
  for (const zero of of.zeros ?? []) context.zeroRecord.take(zero)
  const part = partOf(context.averagePlan, 'main')
  const laneStart = new Int32Array(part.groups.length + 1)
  part.groups.forEach((group, index) => {
    laneStart[index + 1] = (laneStart[index] as number) + group.lanes.length
  })
  const total = new Accumulator(laneStart)
  let at = 0
  for (const lists of of.minutes) {
    const minute = new Accumulator(laneStart)
    const seconds = lists[0]?.length ?? 0
    for (let second = 0; second < seconds; second++, at += 1000) {
      part.groups.forEach((group, index) => {
        group.lanes.forEach((lane, place) => {
          const value = lists[lane.channel]?.[second] as number
          minute.integral[(laneStart[index] as number) + place]! += value * 1000
          if (place === 0) minute.addPoint(index, value, at)
        })
        minute.weightMs[index]! += 1000
      })
    }
    total.merge(minute, 0)
  }
  const rows = rowContext(context, part)
  const value = rows.values.find(
    (one) =>
      of.station.channels[one.channel]?.id === of.channel &&
      one.quantity === of.quantity &&
      (of.unit === undefined || one.unit === of.unit),
  )
  const budget =
    value &&
    rows.uncertainty.budgetOf(value, total, {
      endMs: at,
      denominatorMs: of.denominatorMs ?? at,
      zerosInterpolated: of.zerosInterpolated ?? false,
    })
  if (!budget) throw new Error(`${of.channel} has no budget of ${of.quantity}`)
  return budget
}

/** The contribution of one source (of one channel), in the value's unit; 0 where it has none. */
export const contributionOf = (budget: Budget, source: string, channel?: string): number =>
  budget.contributions.find((one) => one.source === source && (channel === undefined || one.channel === channel))
    ?.contribution ?? 0

/** Papers that promise nothing can go wrong: for cases about one source alone. */
export const perfectPapers = {
  resolution: 1e-12,
  calibrationGasPercent: 0,
  linearity: 0,
  linearityPercent: 0,
  zeroDrift: 0,
  spanDriftPercent: 0,
  residualWaterPercent: 0,
} as const
