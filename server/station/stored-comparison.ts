import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import { rowDifferences } from './row-comparison.ts'

type Kind = 'block' | 'rolling'
type RowOutput = Extract<EngineOutput, { kind: Kind }>

/** What an engine gives from a recording's inputs, held against the averages and alarms that are stored beside them. */
export class StoredComparison {
  /** Averages that both know, and those that are recomputed alone. */
  blocks = 0
  private readonly stored = new Map<string, AverageRow>()
  private readonly alarms: readonly AlarmTransition[]
  private readonly exactly: boolean
  /** An average may come provisional first: what comes last is in force, and only what differs so far is kept. */
  private readonly differing = new Map<string, string>()
  private readonly missing: Set<string>
  private readonly recomputedAlarms: AlarmTransition[] = []

  /** `exactly`: as `rowDifferences`. */
  constructor(
    averages: Readonly<Record<Kind, readonly AverageRow[]>>,
    alarms: readonly AlarmTransition[],
    exactly: boolean,
  ) {
    for (const kind of ['block', 'rolling'] as const)
      for (const row of averages[kind]) this.stored.set(`${kind}/${averageKey(row)}`, row)
    this.missing = new Set(this.stored.keys())
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
    const was = this.stored.get(key)
    if (this.missing.delete(key) || was === undefined) this.blocks++
    const names = was ? rowDifferences(was, row, this.exactly) : []
    if (was === undefined) this.differing.set(key, 'recomputed, but not stored')
    else if (names.length > 0) this.differing.set(key, `stored otherwise than recomputed (${names.join(', ')})`)
    else this.differing.delete(key)
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
        const was = this.stored.get(key)
        isThere = was !== undefined && rowDifferences(was, output.row, this.exactly).length === 0
        const isOld = isThere && !this.missing.has(key) && !this.differing.has(key)
        if (isOld) continue
      } else continue
      told = told === true || isThere
    }
    return told
  }

  storedAverage(kind: Kind, row: AverageRow): AverageRow | undefined {
    return this.stored.get(`${kind}/${averageKey(row)}`)
  }

  /** Whether averages are otherwise than recomputed. */
  get averagesDiffer(): boolean {
    return this.differing.size + this.missing.size > 0
  }

  faults(): string[] {
    return [
      ...[...this.differing].map(([key, text]) => `${key}: ${text}`),
      ...[...this.missing].map((key) => `${key}: stored, but the lines do not give it`),
      ...this.alarmFault(),
    ]
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

const isSame = (stored: AlarmTransition | undefined, recomputed: AlarmTransition | undefined): boolean =>
  JSON.stringify(stored) === JSON.stringify(recomputed)
