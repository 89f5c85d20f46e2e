import { z } from 'zod'
import { type AverageRow, blockReasons, blockStates, detections } from '../../protocols/words/blocks.ts'
import { bases, valueQuantities } from '../../protocols/words/quantities.ts'
import { species } from '../../protocols/words/species.ts'
import type { IsoDuration } from '../../protocols/words/time.ts'
import { units } from '../../protocols/words/units.ts'
import { verdicts } from '../../protocols/words/verdicts.ts'
import type { Connection } from './database.ts'
import { andGiven, storedRow, whereGiven } from './stored-row.ts'

/** Which averages; what is not given does not select. An average belongs to [fromMs, toMs) when it starts there. */
export interface AverageFilter {
  readonly stream?: string
  readonly channel?: string
  readonly quantity?: AverageRow['quantity']
  readonly average?: string
  readonly fromMs?: number
  readonly toMs?: number
}
/** A whole run's average is told in seconds, so `run` stands for all of them. */
const clauses = {
  stream: 'stream = @stream',
  channel: 'channel = @channel',
  quantity: 'quantity = @quantity',
  average: "(average = @average OR (@average = 'run' AND average GLOB 'PT*S'))",
  fromMs: 'start_ms >= @fromMs',
  toMs: 'start_ms < @toMs',
}

const number = z.number().nullable()
const row = z.object({
  stream: z.string(),
  channel: z.string(),
  species: z.enum(species).nullable(),
  quantity: z.enum(valueQuantities),
  unit: z.enum(units),
  basis: z.enum(bases).nullable(),
  referenceOxygen: number,
  conditions: z.string().nullable(),
  average: z.string().transform((text) => text as IsoDuration),
  startMs: z.number(),
  endMs: z.number(),
  mean: number,
  minimum: number,
  maximum: number,
  standardDeviation: number,
  count: z.number(),
  countedMs: z.number(),
  coverage: number,
  valid: z.int().transform((value) => value === 1),
  reasons: z
    .string()
    .transform((text) => (text ? text.split('|') : []))
    .pipe(z.array(z.enum(blockReasons))),
  detection: z.enum(detections).nullable(),
  state: z.enum(blockStates),
  uncertainty: number,
  verdicts: z
    .string()
    .transform((text): unknown => JSON.parse(text))
    .pipe(
      z.array(
        z.object({
          limit: z.string(),
          verdict: z.enum(verdicts),
          complies: z.boolean().nullable(),
          result: z.number(),
        }),
      ),
    ),
})

/** What a chart shows of an average. */
export interface ShownMean {
  readonly startMs: number
  readonly endMs: number
  readonly channel: string
  readonly quantity: AverageRow['quantity']
  readonly unit: AverageRow['unit']
  readonly mean: number | null
  readonly valid: boolean
}
const shownMean = row.pick({
  startMs: true,
  endMs: true,
  channel: true,
  quantity: true,
  unit: true,
  mean: true,
  valid: true,
})

const columns = {
  stream: 'stream',
  channel: 'channel',
  species: 'species',
  quantity: 'quantity',
  unit: 'unit',
  basis: 'basis',
  reference_oxygen: 'referenceOxygen',
  conditions: 'conditions',
  average: 'average',
  start_ms: 'startMs',
  end_ms: 'endMs',
  mean: 'mean',
  minimum: 'minimum',
  maximum: 'maximum',
  standard_deviation: 'standardDeviation',
  count: 'count',
  counted_ms: 'countedMs',
  coverage: 'coverage',
  valid: 'valid',
  reasons: 'reasons',
  detection: 'detection',
  state: 'state',
  uncertainty: 'uncertainty',
  verdicts: 'verdicts',
}

/** What stands for a column that recordings of version 1 lack. */
const sinceVersion2: Readonly<Record<string, string>> = { detection: 'NULL', uncertainty: 'NULL', verdicts: "'[]'" }

/** The tables `block` and `rolling`; no other file writes or reads them. A later row of the same average (`averageKey`) replaces the earlier. */
export function averageTable(db: Connection, table: 'block' | 'rolling') {
  const isOld = Number(db.pragma('user_version', { simple: true })) < 2
  const names = Object.keys(columns).join(', ')
  const values = Object.values(columns)
    .map((name) => `@${name}`)
    .join(', ')
  const selected = Object.entries(columns)
    .map(([column, name]) => `${isOld ? (sinceVersion2[column] ?? column) : column} AS ${name}`)
    .join(', ')
  // A recording of version 1 is only ever read: what is written to is brought up to date as it is opened.
  const upsert = isOld ? null : db.prepare(`INSERT OR REPLACE INTO ${table} (${names}) VALUES (${values})`)
  return {
    upsert(average: AverageRow): void {
      upsert?.run({
        ...average,
        valid: average.valid ? 1 : 0,
        reasons: average.reasons.join('|'),
        verdicts: JSON.stringify(average.verdicts),
      })
    },
    /** The stored row of the same average; null where there is none. */
    same({ channel, quantity, unit, average, startMs }: AverageRow): AverageRow | null {
      const found = db.prepare(
        `SELECT ${selected} FROM ${table} WHERE start_ms = @startMs AND average = @average AND channel = @channel AND quantity = @quantity AND unit = @unit`,
      )
      const one = found.get({ channel, quantity, unit, average, startMs })
      return one ? storedRow(row, one, table) : null
    },
    remove({ channel, quantity, unit, average, startMs }: AverageRow): void {
      db.prepare(
        `DELETE FROM ${table} WHERE start_ms = @startMs AND average = @average AND channel = @channel AND quantity = @quantity AND unit = @unit`,
      ).run({ channel, quantity, unit, average, startMs })
    },
    count: (): number => Number(db.prepare(`SELECT count(*) FROM ${table}`).pluck().get()),
    /** In the order of `read`; `size` rows are in memory at once, and between two pages nothing is held open. */
    *pages(size: number, filter: AverageFilter = {}): Generator<AverageRow[]> {
      const where = andGiven({ ...filter }, clauses)
      const after = db.prepare(
        `SELECT ${selected} FROM ${table}
         WHERE (start_ms, average, channel, quantity, unit) > (@afterMs, @afterAverage, @afterChannel, @afterQuantity, @afterUnit) ${where}
         ORDER BY start_ms, average, channel, quantity, unit LIMIT @size`,
      )
      let last: AverageRow | undefined
      do {
        const page = after
          .all({
            ...filter,
            size,
            // Before every key of that start: the words of a key are never empty.
            afterMs: last?.startMs ?? filter.fromMs ?? Number.NEGATIVE_INFINITY,
            afterAverage: last?.average ?? '',
            afterChannel: last?.channel ?? '',
            afterQuantity: last?.quantity ?? '',
            afterUnit: last?.unit ?? '',
          })
          .map((each) => storedRow(row, each, table))
        last = page.at(-1)
        if (last) yield page
      } while (last)
    },
    clear: (): void => void db.exec(`DELETE FROM ${table}`),
    /**
     * Means of one length that start in [fromMs, toMs), in order of their start. Averages of one length follow each other
     * without overlap, so that the next is looked for where the last one ends: the many shorter ones between are not read.
     */
    *means(average: string, fromMs: number, toMs: number): Generator<ShownMean> {
      const next = db.prepare(`SELECT min(start_ms) FROM ${table} WHERE start_ms >= ? AND start_ms < ?`).pluck()
      const starting = db.prepare(
        `SELECT start_ms AS startMs, end_ms AS endMs, channel, quantity, unit, mean, valid FROM ${table}
         WHERE start_ms = ? AND average = ? AND state <> 'open'`,
      )
      let from = fromMs
      for (let at = next.get(from, toMs); typeof at === 'number'; at = next.get(from, toMs)) {
        from = at + 1
        for (const each of starting.all(at, average)) {
          const found = storedRow(shownMean, each, table)
          from = Math.max(from, found.endMs)
          yield found
        }
      }
    },
    /** In order of start, average, channel, quantity and unit. */
    read(filter: AverageFilter): AverageRow[] {
      const found = db.prepare(
        `SELECT ${selected} FROM ${table} ${whereGiven({ ...filter }, clauses)} ORDER BY start_ms, average, channel, quantity, unit`,
      )
      return found.all(filter).map((each) => storedRow(row, each, table))
    },
  }
}
