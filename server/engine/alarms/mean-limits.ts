import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { AveragePlan } from '../averaging/average-values.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { AlarmBook } from './book.ts'
import { valueOfLimit } from './limit-value.ts'

/** Holds limits of blocks and rolling averages against valid rows. An invalid one decides nothing: it neither raises nor clears. */
export class MeanLimits {
  private readonly book: AlarmBook
  private readonly byRow = new Map<string, number[]>()

  constructor(station: StationFile, conversions: ConversionPlan, averages: AveragePlan, book: AlarmBook) {
    this.book = book
    station.limits.forEach((limit, index) => {
      const value = limit.of === 'reading' ? null : valueOfLimit(station, conversions, averages, index)
      if (!value) return
      const key = `${limit.of}/${limit.average}/${limit.channel}/${value.quantity}/${value.unit}`
      this.byRow.set(key, [...(this.byRow.get(key) ?? []), index])
    })
  }

  take(kind: 'block' | 'rolling', rows: readonly AverageRow[], atMs: number): void {
    if (this.byRow.size === 0) return
    for (const row of rows) {
      if (!row.valid || row.mean === null) continue
      for (const index of this.byRow.get(`${kind}/${row.average}/${row.channel}/${row.quantity}/${row.unit}`) ?? [])
        this.book.limitValue(index, row.mean, atMs)
    }
  }
}
