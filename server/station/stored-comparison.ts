import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { StoredAverages } from './amendments/stored-averages.ts'
import { rowDifferences } from './row-comparison.ts'

type Kind = 'block' | 'rolling'
type RowOutput = Extract<EngineOutput, { kind: Kind }>

/**
 * What an engine gives from a recording's inputs, held against the averages and alarms that are stored beside them. Stored
 * averages are looked up as they are given, so that a month of them need not be held; of each, that it was met is kept.
 */
export class StoredComparison {
  /** Averages that both know, and those that are recomputed alone. */
  blocks = 0
  private readonly averages: StoredAverages
  private readonly alarms: readonly AlarmTransition[]
  private readonly exactly: boolean
  /** An average may come provisional first: what comes last is in force, and only what differs so far is kept. */
  private readonly differing = new Map<string, string>()
  /** By series of averages, the starts of those that are stored and were recomputed. */
  private readonly met = new Map<string, Set<number>>()
  private readonly recomputedAlarms: AlarmTransition[] = []

  /** `exactly`: as `rowDifferences`. */
  constructor(averages: StoredAverages, alarms: readonly AlarmTransition[], exactly: boolean) {
    this.averages = averages
    this.alarms = alarms
    this.exactly = exactly
  }

  take(outputs: readonly EngineOutput[]): void {
    for (const output of outputs) {
      if (output.kind === 'alarm') this.recomputedAlarms.push(output.transition)
      if (output.kind === 'block' || output.kind === 'rolling') this.takeRow(output)
    }
  }

  private takeRow({ kind, row }: RowOutput): void {
    const key = `${kind}/${averageKey(row)}`
    const was = this.averages.of(kind, row)
    if (was === undefined || this.isMetFirst(kind, row)) this.blocks++
    const names = was ? rowDifferences(was, row, this.exactly) : []
    if (was === undefined) this.differing.set(key, 'recomputed, but not stored')
    else if (names.length > 0) this.differing.set(key, `stored otherwise than recomputed (${names.join(', ')})`)
    else this.differing.delete(key)
  }

  private isMetFirst(kind: Kind, row: AverageRow): boolean {
    const series = seriesKey(kind, row)
    const starts = this.met.get(series) ?? new Set()
    this.met.set(series, starts)
    const before = starts.size
    return starts.add(row.startMs).size > before
  }

  private hasMet(kind: Kind, row: AverageRow): boolean {
    return this.met.get(seriesKey(kind, row))?.has(row.startMs) ?? false
  }

  /**
   * Whether what is stored tells that these outputs came, of which none is taken yet: `true` where one that is new stands
   * there as it is; `false` where there are new ones and none does; null where nothing is new that is compared.
   */
  tellsOf(outputs: readonly EngineOutput[]): boolean | null {
    let told: boolean | null = null
    let alarm = this.recomputedAlarms.length
    for (const output of outputs) {
      let isThere: boolean
      if (output.kind === 'alarm') isThere = isSame(this.alarms[alarm++], output.transition)
      else if (output.kind === 'block' || output.kind === 'rolling') {
        const key = `${output.kind}/${averageKey(output.row)}`
        const was = this.averages.of(output.kind, output.row)
        isThere = was !== undefined && rowDifferences(was, output.row, this.exactly).length === 0
        const isOld = isThere && this.hasMet(output.kind, output.row) && !this.differing.has(key)
        if (isOld) continue
      } else continue
      told = told === true || isThere
    }
    return told
  }

  /** Whether averages are otherwise than recomputed. */
  get averagesDiffer(): boolean {
    return this.differing.size > 0 || this.unmet > 0
  }

  private get unmet(): number {
    let met = 0
    for (const starts of this.met.values()) met += starts.size
    return this.averages.count() - met
  }

  *faults(): Generator<string> {
    for (const [key, text] of this.differing) yield `${key}: ${text}`
    if (this.unmet > 0)
      for (const page of this.averages.pages())
        for (const { kind, row } of page)
          if (!this.hasMet(kind, row)) yield `${kind}/${averageKey(row)}: stored, but the lines do not give it`
    yield* this.alarmFault()
  }

  private alarmFault(): string[] {
    const { alarms: stored, recomputedAlarms: recomputed } = this
    const length = Math.max(stored.length, recomputed.length)
    for (let index = 0; index < length; index++)
      if (!isSame(stored[index], recomputed[index]))
        return [
          `alarm transition ${index + 1}: ${stored[index]?.alarm ?? 'none'} stored, ${recomputed[index]?.alarm ?? 'none'} recomputed`,
        ]
    return []
  }
}

const seriesKey = (kind: Kind, { channel, quantity, unit, average }: AverageRow): string =>
  `${kind}/${channel}/${quantity}/${unit}/${average}`

const isSame = (stored: AlarmTransition | undefined, recomputed: AlarmTransition | undefined): boolean =>
  JSON.stringify(stored) === JSON.stringify(recomputed)
