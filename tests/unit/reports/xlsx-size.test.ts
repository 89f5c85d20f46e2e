import { expect, test } from 'vitest'
import type { Table } from '../../../server/reports/table.ts'
import { xlsxFile } from '../../../server/reports/xlsx.ts'

const clock = { wallMs: (ms: number) => ms, text: (ms: number) => new Date(ms).toISOString() }

/** So many rows of a time and numbers, all alike: nothing is held of them. */
const aTable = (rowsInAll: number, numbers: number): Table => {
  const row = [0, ...new Array<number>(numbers).fill(1.5)]
  return {
    name: 'blocks',
    columns: [
      { name: 'start', kind: 'time' },
      ...Array.from({ length: numbers }, (_, place) => ({ name: `mean ${place}`, kind: 'number' as const })),
    ],
    *rows() {
      for (let made = 0; made < rowsInAll; made++) yield row
    },
  }
}
const workbook = (...tables: Table[]): Promise<Buffer> => xlsxFile(tables, 'UTC', clock)

test('a workbook that memory would not hold is refused before it is made, and csv is named', async () => {
  // A time takes two cells: 31 in each row.
  await expect(workbook(aTable(129_033, 29))).rejects.toThrow('more than 4000000 cells; none was made; use csv')
  await expect(workbook(aTable(64_516, 29), aTable(64_517, 29))).rejects.toThrow('more than 4000000 cells')
  expect((await workbook(aTable(100, 29))).byteLength).toBeGreaterThan(1000)
})

test('a table longer than a sheet is refused by its name', async () => {
  await expect(workbook(aTable(1_048_576, 1))).rejects.toThrow(
    'the table blocks has more than the 1048576 rows of a sheet',
  )
})
