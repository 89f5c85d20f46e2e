import type { Cell, ColumnKind, Table } from './table.ts'

/** Rows that are put into text together. */
const batchRows = 500

/** One table as a JSON document: `{ "run", "table", "rows": [{…}] }`, one row a line. Keys are the columns' names; times as text with offset. */
export function* jsonText(table: Table, run: string, timeText: (ms: number) => string): Generator<string> {
  yield `{"run":${JSON.stringify(run)},"table":${JSON.stringify(table.name)},"rows":[`
  let batch: string[] = []
  let comma = '\n'
  for (const row of table.rows()) {
    const named = row.map((cell, place) => [
      table.columns[place]?.name ?? '',
      plain(cell, table.columns[place]?.kind ?? 'text', timeText),
    ])
    batch.push(JSON.stringify(Object.fromEntries(named)))
    if (batch.length < batchRows) continue
    yield `${comma}${batch.join(',\n')}`
    comma = ',\n'
    batch = []
  }
  yield `${batch.length > 0 ? comma : ''}${batch.join(',\n')}\n]}\n`
}

const plain = (cell: Cell, kind: ColumnKind, timeText: (ms: number) => string): Cell =>
  kind === 'time' && typeof cell === 'number' ? timeText(cell) : cell
