import type { AverageRow } from '../../protocols/words/blocks.ts'
import { valueQuantities } from '../../protocols/words/quantities.ts'
import { averageLengthMs } from '../../protocols/words/time.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { type Table, tableOf } from './table.ts'

/**
 * Blocks or rolling averages. Other people's scripts rely on these columns and their order.
 *
 * `told`: each average once, in order of start; gone through each time that rows are asked for. Order: start, length of the
 * average, the station's order of channels, quantity, unit; so the same run gives the same file, byte for byte.
 */
export function averagesTable(
  name: 'blocks' | 'rolling',
  run: string,
  station: StationFile,
  told: Iterable<AverageRow>,
): Table {
  return tableOf(name, () => inOrder(station, told), [
    ['run', 'text', () => run],
    ['stream', 'text', (row) => row.stream],
    ['channel', 'text', (row) => row.channel],
    ['quantity', 'text', (row) => row.quantity],
    ['unit', 'text', (row) => row.unit],
    ['basis', 'text', (row) => row.basis],
    ['reference_oxygen', 'number', (row) => row.referenceOxygen],
    ['conditions', 'text', (row) => row.conditions],
    ['average', 'text', (row) => row.average],
    ['start', 'time', (row) => row.startMs],
    ['end', 'time', (row) => row.endMs],
    ['mean', 'number', (row) => row.mean],
    ['minimum', 'number', (row) => row.minimum],
    ['maximum', 'number', (row) => row.maximum],
    ['standard_deviation', 'number', (row) => row.standardDeviation],
    ['count', 'number', (row) => row.count],
    ['counted_seconds', 'number', (row) => row.countedMs / 1000],
    ['coverage', 'number', (row) => row.coverage],
    ['valid', 'truth', (row) => row.valid],
    ['reasons', 'text', (row) => row.reasons.join('|')],
    ['detection', 'text', (row) => row.detection],
    ['state', 'text', (row) => row.state],
    ['uncertainty', 'number', (row) => row.uncertainty],
  ])
}

/** Of the rows that start together, which are few, it is known only when the next start comes that all are there. */
function* inOrder(station: StationFile, told: Iterable<AverageRow>): Generator<AverageRow> {
  const places = new Map(station.channels.map(({ id }, place) => [id, place]))
  const place = (row: AverageRow): number => places.get(row.channel) ?? places.size
  const byOrder = (a: AverageRow, b: AverageRow): number =>
    (averageLengthMs(a.average) ?? 0) - (averageLengthMs(b.average) ?? 0) ||
    place(a) - place(b) ||
    valueQuantities.indexOf(a.quantity) - valueQuantities.indexOf(b.quantity) ||
    (a.unit < b.unit ? -1 : Number(a.unit > b.unit))
  let together: AverageRow[] = []
  for (const row of told) {
    if (together[0] && together[0].startMs !== row.startMs) {
      yield* together.sort(byOrder)
      together = []
    }
    together.push(row)
  }
  yield* together.sort(byOrder)
}
