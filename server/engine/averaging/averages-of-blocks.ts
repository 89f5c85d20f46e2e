import { type AverageRow, type BlockReason, invalidatingReasons } from '../../../protocols/words/blocks.ts'
import { averageLengthMs, durationMs, type IsoDuration } from '../../../protocols/words/time.ts'
import { combinedDetection } from '../decision/detection.ts'
import { verdictsOf } from '../decision/judge.ts'
import { type LimitsOfMeans, limitKey } from '../decision/limits-of-means.ts'
import { type AverageOfBlocks, blocksHeld } from '../settings/long-averages-shape.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Tracer } from '../tracing/tracer.ts'
import { type BlockGrid, type Period, runGrid } from './grid.ts'
import { fractionParts } from './validity.ts'

/** Rows of averages of blocks, and among which they go. */
export interface RowsOfBlocks {
  readonly kind: 'block' | 'rolling'
  readonly rows: readonly AverageRow[]
}

/** The blocks of one value that make one average of blocks. */
interface Series {
  readonly settings: AverageOfBlocks
  readonly grid: BlockGrid
  period: Period
  blocks: AverageRow[]
}

const isIdle = ({ reasons }: AverageRow): boolean => reasons.includes('not_operating')
const isPartial = ({ reasons }: AverageRow): boolean => reasons.includes('run_started') || reasons.includes('run_ended')

/**
 * Averages of block means: days, blocks of several hours, rolling averages over hours by the clock or of operation.
 *
 * The mean of the valid blocks, each weighing the same (44. BImSchV § 30(1): the day from its half-hours; 40 CFR
 * 60.4380(b)(1): four operating hours). A block in which the plant did not run is no part of it. Only final blocks go in.
 * Memory is that of the longest average, whatever the run's length.
 */
export class AveragesOfBlocks {
  private readonly station: StationFile
  private readonly clockGrid: BlockGrid
  private readonly limits: LimitsOfMeans
  private readonly traceOf: () => Tracer | null
  private readonly series = new Map<string, Series>()

  /** traceOf: who follows an average now. */
  constructor(station: StationFile, clockGrid: BlockGrid, limits: LimitsOfMeans, traceOf: () => Tracer | null) {
    this.station = station
    this.clockGrid = clockGrid
    this.limits = limits
    this.traceOf = traceOf
  }

  /** Finished blocks of one instant, in order of time; what they complete. */
  take(blocks: readonly AverageRow[]): RowsOfBlocks[] {
    const { ofBlocks } = this.station.averaging
    if (ofBlocks.length === 0) return []
    return ofBlocks.flatMap((settings, place) => {
      const rows = blocks.flatMap((block) =>
        block.average === settings.of && block.state === 'final' ? this.takeBlock(settings, place, block) : [],
      )
      return rows.length > 0 ? [{ kind: settings.window === 'rolling' ? 'rolling' : 'block', rows }] : []
    })
  }

  /** The run ends: what is not complete is given as it stands. */
  endRun(): RowsOfBlocks[] {
    const rows = [...this.series.values()].flatMap((series) =>
      series.settings.window === 'fixed' && series.blocks.length > 0 ? [this.fixedRow(series, true)] : [],
    )
    this.series.clear()
    return rows.length > 0 ? [{ kind: 'block', rows }] : []
  }

  private takeBlock(settings: AverageOfBlocks, place: number, block: AverageRow): AverageRow[] {
    const key = `${place}/${block.channel}/${block.quantity}/${block.unit}`
    let series = this.series.get(key)
    if (!series) {
      const grid = this.station.averaging.align === 'run' ? runGrid(block.startMs) : this.clockGrid
      series = { settings, grid, period: { startMs: Number.NaN, endMs: Number.NaN }, blocks: [] }
      this.series.set(key, series)
    }
    return settings.window === 'rolling' ? this.roll(series, block) : this.fill(series, block)
  }

  private fill(series: Series, block: AverageRow): AverageRow[] {
    if (series.blocks.length === 0)
      series.period = series.grid.block(averageLengthMs(series.settings.average) ?? Number.NaN, block.startMs)
    series.blocks.push(block)
    if (block.endMs < series.period.endMs) return []
    const row = this.fixedRow(series, false)
    series.blocks = []
    return [row]
  }

  private roll(series: Series, block: AverageRow): AverageRow[] {
    const held = blocksHeld(series.settings)
    if (isPartial(block) || (series.settings.hours === 'operating' && isIdle(block))) return []
    series.blocks.push(block)
    if (series.blocks.length > held) series.blocks.shift()
    if (series.blocks.length < held) return []
    const [first] = series.blocks
    return [this.row(series, { startMs: first?.startMs ?? block.startMs, endMs: block.endMs }, held, [])]
  }

  /** A legal day has as many blocks as it has: 46 or 50 half-hours where the clock changes. */
  private fixedRow(series: Series, runEnded: boolean): AverageRow {
    const { period, blocks, settings } = series
    const wanted = Math.round((period.endMs - period.startMs) / (durationMs(settings.of) ?? Number.NaN))
    const remarks: BlockReason[] = []
    if ((blocks[0]?.startMs ?? 0) > period.startMs) remarks.push('run_started')
    if (runEnded) remarks.push('run_ended')
    return this.row(series, period, wanted, remarks)
  }

  private row(
    { settings, blocks }: Series,
    period: Period,
    wanted: number,
    remarks: readonly BlockReason[],
  ): AverageRow {
    const newest = blocks.at(-1) as AverageRow
    const valid = blocks.filter(({ valid: isValid, mean }) => isValid && mean !== null)
    const means = valid.map(({ mean }) => mean as number)
    const expected = wanted - blocks.filter(isIdle).length
    const why = invalidReason(settings.valid, valid.length, expected)
    const said = blocks.flatMap(({ reasons }) => reasons.filter((reason) => !invalidatingReasons.has(reason)))
    const row: AverageRow = {
      ...newest,
      average: settings.average as IsoDuration,
      startMs: period.startMs,
      endMs: period.endMs,
      mean: means.length > 0 ? meanOfNumbers(means) : null,
      minimum: means.length > 0 ? Math.min(...means) : null,
      maximum: means.length > 0 ? Math.max(...means) : null,
      standardDeviation: deviationOf(means),
      count: sumOf(valid.map(({ count }) => count)),
      countedMs: sumOf(valid.map(({ countedMs }) => countedMs)),
      coverage: expected > 0 ? Math.min(1, valid.length / expected) : null,
      valid: why === null,
      reasons: [...new Set([...(why ? [why] : []), ...said, ...remarks])],
      detection: combinedDetection(valid.map(({ detection }) => detection)),
      uncertainty: uncertaintyOf(valid),
      verdicts: [],
    }
    const limits =
      this.limits.get(limitKey(settings.window === 'rolling' ? 'rolling' : 'block', row.average, row)) ?? []
    const judged = { ...row, verdicts: verdictsOf(this.station, limits, row, null) }
    this.traceOf()?.ofBlocks(judged, { blocks: [...blocks], expected })
    return judged
  }
}

/** expected: blocks in which the plant ran or was taken to. The denominators are the blocks that the day really has. */
function invalidReason(
  { atMostInvalid, atLeastValid, share }: AverageOfBlocks['valid'],
  valid: number,
  expected: number,
): BlockReason | null {
  if (expected <= 0) return 'not_operating'
  if (valid === 0) return 'nothing_counted'
  const [part, whole] = fractionParts(share ?? '0/1')
  const holds =
    (atMostInvalid === undefined || expected - valid <= atMostInvalid) &&
    (atLeastValid === undefined || valid >= atLeastValid) &&
    whole * valid >= part * expected
  return holds ? null : 'coverage_low'
}

const sumOf = (numbers: readonly number[]): number => numbers.reduce((sum, value) => sum + value, 0)
const meanOfNumbers = (numbers: readonly number[]): number => sumOf(numbers) / numbers.length

function deviationOf(means: readonly number[]): number | null {
  if (means.length < 2) return null
  const centre = meanOfNumbers(means)
  return Math.sqrt(sumOf(means.map((mean) => (mean - centre) ** 2)) / (means.length - 1))
}

/**
 * The mean of the blocks' expanded uncertainties: what is wrong with one block (zero, span, calibration gas) is taken to
 * be wrong with all, so nothing is gained by averaging. Never too small. Source: JCGM 100:2008, 5.2.2, note 1, correlation 1.
 */
function uncertaintyOf(blocks: readonly AverageRow[]): number | null {
  const known = blocks.flatMap(({ uncertainty }) => uncertainty ?? [])
  return known.length > 0 && known.length === blocks.length ? meanOfNumbers(known) : null
}
