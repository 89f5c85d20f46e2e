/** Settings of a cumulative-sum chart, in standard deviations of the monitor (k, h) or as a share of a deviation (adjust). */
export interface CusumSettings {
  readonly deviation: number
  readonly kx: number
  readonly hx: number
  readonly ks: number
  readonly hs: number
  readonly adjust: number
}

/** Constants of the chart. Source: EN 14181, QAL3 (from memory). */
export const chartConstants = { kx: 0.501, hx: 2.85, ks: 1.85, hs: 6.9, adjust: 0.7 } as const

/** What the chart says after one check of the zero or the span. */
export interface CusumRow {
  readonly sumPositive: number
  readonly countPositive: number
  readonly sumNegative: number
  readonly countNegative: number
  readonly precision: number
  readonly driftAlarm: boolean
  readonly precisionAlarm: boolean
  /** What to take off the readings, in their unit; null without a drift alarm. */
  readonly adjustBy: number | null
}

/**
 * Cumulative-sum chart of the differences between a check's reading and its reference: finds a slow drift that no single
 * check shows. Sums restart at zero; a drift alarm asks for adjust · sum / count + k taken off.
 *
 * differences: in the readings' unit, in order. Source: EN 14181, QAL3 (from memory); worked vector in
 * tests/standards/analyser-checks.test.ts.
 */
export function cusum(differences: readonly number[], settings: CusumSettings): readonly CusumRow[] {
  const { deviation, kx, hx, ks, hs, adjust } = settings
  const rows: CusumRow[] = []
  let last = { sumPositive: 0, countPositive: 0, sumNegative: 0, countNegative: 0, precision: 0 }
  let before: number | null = null
  for (const difference of differences) {
    const sumPositive = Math.max(0, last.sumPositive + difference - kx * deviation)
    const sumNegative = Math.max(0, last.sumNegative - difference - kx * deviation)
    const step = before === null ? 0 : (difference - before) ** 2 / 2
    const precision = Math.max(0, last.precision + step - ks * deviation ** 2)
    last = {
      sumPositive,
      countPositive: sumPositive > 0 ? last.countPositive + 1 : 0,
      sumNegative,
      countNegative: sumNegative > 0 ? last.countNegative + 1 : 0,
      precision,
    }
    before = difference
    const isHigh = sumPositive > hx * deviation
    const isLow = sumNegative > hx * deviation
    rows.push({
      ...last,
      driftAlarm: isHigh || isLow,
      precisionAlarm: precision > hs * deviation ** 2,
      adjustBy: isHigh
        ? adjust * (kx * deviation + sumPositive / last.countPositive)
        : isLow
          ? -adjust * (kx * deviation + sumNegative / last.countNegative)
          : null,
    })
  }
  return rows
}
