import { unzipSync, zipSync } from 'fflate'
import writeXlsxFile, { type CellObject, type Row } from 'write-excel-file/node'
import { Trouble } from '../trouble.ts'
import type { Cell, Column, Table } from './table.ts'
import type { StationClock } from './time-text.ts'

/** A sheet holds no more rows: 2^20. Source: the published specifications of spreadsheet programs. */
const mostRows = 1_048_576
/** A workbook is made in memory, some 350 bytes a cell: this many take 1.4 GB (our choice). */
const mostCells = 4_000_000

/** The date of every part of the file; local fields, as the archive's format has them. Its first possible day. */
const partsDate = new Date(1980, 0, 1)

interface Sheet {
  readonly sheet: string
  readonly data: Row[]
  readonly columns: { readonly width: number }[]
}

/**
 * Tables as one workbook, a sheet each. Numbers are numbers, texts stay texts whatever they begin with. A time is given twice: as a date by the station's clock, since a spreadsheet knows no zones,
 * and as text with its offset. Everything is held in memory, so readings are not for it. Throws a `Trouble`, before anything is
 * made, for a table that is too long or too many cells in all.
 */
export async function xlsxFile(tables: readonly Table[], timeZone: string, clock: StationClock): Promise<Buffer> {
  checkSize(tables)
  const sheets: Sheet[] = tables.map((table) => sheetOf(table, timeZone, clock))
  const written = await writeXlsxFile(sheets.map((sheet) => ({ ...sheet, stickyRowsCount: 1 }))).toBuffer()
  // The parts come stamped with the time of writing; the same tables shall give the same bytes at any time.
  return Buffer.from(zipSync(unzipSync(written), { mtime: partsDate }))
}

function checkSize(tables: readonly Table[]): void {
  let cellsInAll = 0
  for (const { name, columns, rows } of tables) {
    const cellsOfRow = columns.reduce((sum, { kind }) => sum + (kind === 'time' ? 2 : 1), 0)
    let rowsOfSheet = 1
    for (const _ of rows()) {
      rowsOfSheet += 1
      cellsInAll += cellsOfRow
      if (rowsOfSheet > mostRows)
        throw new Trouble(
          `the table ${name} has more than the ${mostRows} rows of a sheet; no workbook was made; use csv`,
        )
      if (cellsInAll > mostCells)
        throw new Trouble(`a workbook of this run would have more than ${mostCells} cells; none was made; use csv`)
    }
  }
}

function sheetOf(table: Table, timeZone: string, clock: StationClock): Sheet {
  const data: Row[] = [table.columns.flatMap((column) => headings(column, timeZone))]
  for (const row of table.rows()) data.push(row.flatMap((cell, place) => cells(cell, table.columns[place], clock)))
  return {
    sheet: table.name,
    data,
    columns: table.columns.flatMap(({ kind }) => (kind === 'time' ? [{ width: 20 }, { width: 26 }] : [{ width: 16 }])),
  }
}

const bold = (value: string): CellObject => ({ value, type: String, fontWeight: 'bold' })

const headings = ({ name, kind }: Column, timeZone: string): CellObject[] =>
  kind === 'time' ? [bold(`${name} (clock of ${timeZone})`), bold(name)] : [bold(name)]

function cells(value: Cell, column: Column | undefined, clock: StationClock): (CellObject | null)[] {
  if (column?.kind !== 'time') return [cell(value)]
  if (typeof value !== 'number') return [null, null]
  return [{ value: new Date(clock.wallMs(value)), type: Date, format: 'yyyy-mm-dd hh:mm:ss' }, cell(clock.text(value))]
}

function cell(value: Cell): CellObject | null {
  if (value === null || value === '') return null
  if (typeof value === 'number') return Number.isFinite(value) ? { value, type: Number } : null
  return typeof value === 'boolean' ? { value, type: Boolean } : { value, type: String }
}
