/** What a column holds. `time`: ms since 1970 UTC, written as the station tells the time. `numbers`: the text of one that keeps its zeros, as `<2.0`, or of several, parted by `|`, with decimal points. */
export type ColumnKind = 'text' | 'number' | 'numbers' | 'time' | 'truth'

export interface Column {
  readonly name: string
  readonly kind: ColumnKind
}

/** null: no value. It is written as nothing (CSV, XLSX) or null (JSON), never as 0. */
export type Cell = string | number | boolean | null

/** A table of an export; every format writes the same tables. Rows come one at a time and can be asked for anew. */
export interface Table {
  /** Name of file and sheet: `blocks`. */
  readonly name: string
  readonly columns: readonly Column[]
  readonly rows: () => Iterable<readonly Cell[]>
}

/** A table from columns that each know their value. */
export function tableOf<Row>(
  name: string,
  rows: () => Iterable<Row>,
  columns: readonly (readonly [name: string, kind: ColumnKind, value: (row: Row) => Cell])[],
): Table {
  return {
    name,
    columns: columns.map(([column, kind]) => ({ name: column, kind })),
    *rows() {
      for (const row of rows()) yield columns.map(([, , value]) => value(row))
    },
  }
}
