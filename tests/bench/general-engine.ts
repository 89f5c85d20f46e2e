import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { LongLog } from './long-log.ts'

interface Connection {
  run(sql: string): Promise<unknown>
  runAndReadAll(sql: string): Promise<{ getRows(): unknown[][] }>
  closeSync(): void
}
interface Library {
  readonly DuckDBInstance: {
    create(path: string, options: Record<string, string>): Promise<{ connect(): Promise<Connection> }>
  }
}

export interface GeneralEngine {
  readonly version: string
  /** Half-hour means of all gases on so many threads: the number of blocks and the first mean of CO. */
  means(log: LongLog, threads: number): Promise<{ readonly blocks: number; readonly firstCo: number }>
  close(): void
}

/** DuckDB, a general-purpose analytical database, put into a folder of its own; a text says why it could not be had. */
export async function generalEngine(): Promise<GeneralEngine | string> {
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-bench-'))
  const remove = () => rmSync(folder, { recursive: true, force: true })
  try {
    execFileSync('npm', ['install', '--no-save', '--no-audit', '--no-fund', '--prefix', folder, '@duckdb/node-api'], {
      stdio: 'pipe',
      timeout: 180_000,
    })
    const fetched = createRequire(join(folder, 'from-here.cjs'))
    const library = fetched('@duckdb/node-api') as Library
    const { version } = fetched('@duckdb/node-api/package.json') as { version: string }
    const files = new Map<LongLog, string>()
    return {
      version,
      async means(log, threads) {
        let file = files.get(log)
        if (!file) {
          file = join(folder, `${log.form}.log`)
          writeFileSync(file, log.bytes)
          files.set(log, file)
        }
        const connection = await (
          await library.DuckDBInstance.create(':memory:', { threads: String(threads) })
        ).connect()
        const rows = (await connection.runAndReadAll(queries[log.form](file))).getRows()
        connection.closeSync()
        return { blocks: rows.length, firstCo: Number(rows[0]?.[3]) }
      },
      close: remove,
    }
  } catch (error) {
    remove()
    return error instanceof Error ? (error.message.split('\n')[0] ?? 'unknown') : String(error)
  }
}

/** Plain means; no settling, zeros, coverage, conversions or limits: less than the engine does. */
const queries = {
  kv: (file: string) => `
    SELECT time_bucket(INTERVAL 30 MINUTE, moment) AS block, avg(try_cast(substr(o2, 4) AS DOUBLE)), avg(try_cast(substr(co2, 5) AS DOUBLE)),
      avg(try_cast(substr(co, 4) AS DOUBLE)), avg(try_cast(substr(flow, 6) AS DOUBLE)), count(*)
    FROM read_csv('${file}', delim = ' ', header = false, quote = '', columns = {'moment': 'TIMESTAMP', 'mode': 'VARCHAR', 'o2': 'VARCHAR', 'co2': 'VARCHAR', 'co': 'VARCHAR', 'flow': 'VARCHAR'})
    WHERE mode = 'MODE=GAS' GROUP BY block ORDER BY block`,
  delim: (file: string) => `
    SELECT time_bucket(INTERVAL 30 MINUTE, strptime(day || ' ' || clock, '%d/%m/%Y %H.%M.%S')) AS block, avg(o2), avg(co2), avg(co), avg(flow), count(*)
    FROM read_csv('${file}', delim = ';', header = true, quote = '', decimal_separator = ',',
      columns = {'day': 'VARCHAR', 'clock': 'VARCHAR', 'o2': 'DOUBLE', 'co2': 'DOUBLE', 'co': 'DOUBLE', 'flow': 'DOUBLE', 'mass': 'DOUBLE'})
    GROUP BY block ORDER BY block`,
}
