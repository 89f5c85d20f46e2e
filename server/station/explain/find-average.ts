import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { type ValueQuantity, valueQuantities } from '../../../protocols/words/quantities.ts'
import { anyWholeRun, isWholeRun } from '../../../protocols/words/time.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import type { RecordingReader } from '../../recording/recording-reader.ts'
import { stationClock } from '../../reports/time-text.ts'
import { Trouble } from '../../trouble.ts'

/** Which average is asked for. What is not given is chosen: a block before a rolling average, the longest, the quantity that is formed last. */
export interface AverageQuestion {
  readonly startMs: number
  readonly channel: string
  readonly average?: string
  readonly quantity?: ValueQuantity
  readonly unit?: string
  readonly kind?: 'block' | 'rolling'
}

export interface FoundAverage {
  readonly kind: 'block' | 'rolling'
  readonly row: AverageRow
  readonly isStored: boolean
}

/** How many averages near the asked one are told where there is none. */
const mostNear = 6

/**
 * The average that is meant, among those stored and, for a run that goes on, those still open. A `Trouble` says what
 * exists nearby where there is none.
 */
export function findAverage(
  reader: RecordingReader,
  station: StationFile,
  asked: AverageQuestion,
  openRows: () => readonly AverageRow[],
): FoundAverage {
  if (!station.channels.some(({ id }) => id === asked.channel))
    throw new Trouble(
      `--channel ${asked.channel}: there is no such channel; there are ${station.channels.map(({ id }) => id).join(', ')}`,
    )
  const at = { channel: asked.channel, fromMs: asked.startMs, toMs: asked.startMs + 1 }
  const stored = (kind: 'block' | 'rolling'): FoundAverage[] =>
    (kind === 'block' ? reader.blocks(at) : reader.rolling(at)).map((row) => ({ kind, row, isStored: true }))
  const fits = ({ kind, row }: FoundAverage): boolean =>
    (asked.kind === undefined || asked.kind === kind) &&
    (asked.average === undefined ||
      asked.average === (isWholeRun(row.average) && asked.average === anyWholeRun ? anyWholeRun : row.average)) &&
    (asked.quantity === undefined || asked.quantity === row.quantity) &&
    (asked.unit === undefined || asked.unit === row.unit)
  let found = [...stored('block'), ...stored('rolling')].filter(fits)
  if (found.length === 0)
    found = openRows()
      .filter(({ channel, startMs }) => channel === asked.channel && startMs === asked.startMs)
      .map((row): FoundAverage => ({ kind: 'block', row, isStored: false }))
      .filter(fits)
  if (found.length === 0) throw new Trouble(nothingThere(reader, station, asked))
  const blocks = found.filter(({ kind }) => kind === 'block')
  const ofKind = blocks.length > 0 ? blocks : found
  const longest = Math.max(...ofKind.map(({ row }) => row.endMs - row.startMs))
  const ofLength = ofKind.filter(({ row }) => row.endMs - row.startMs === longest)
  return ofLength.reduce((last, next) =>
    valueQuantities.indexOf(next.row.quantity) > valueQuantities.indexOf(last.row.quantity) ? next : last,
  )
}

function nothingThere(reader: RecordingReader, station: StationFile, asked: AverageQuestion): string {
  const clock = stationClock(station.station)
  const filter = { channel: asked.channel, ...(asked.average ? { average: asked.average } : {}) }
  const rows = asked.kind === 'rolling' ? reader.rolling(filter) : reader.blocks(filter)
  const near = [...new Map(rows.map((row) => [`${row.startMs}/${row.average}`, row])).values()]
    .sort((a, b) => Math.abs(a.startMs - asked.startMs) - Math.abs(b.startMs - asked.startMs))
    .slice(0, mostNear)
    .sort((a, b) => a.startMs - b.startMs)
  const quantities = [...new Set(rows.map(({ quantity, unit }) => `${quantity} in ${unit}`))]
  const what = [asked.average, asked.quantity, asked.unit].filter(Boolean).join(' ')
  return [
    `there is no ${what ? `${what} ` : ''}average of ${asked.channel} that begins at ${clock.text(asked.startMs)}`,
    near.length === 0
      ? `none of ${asked.channel} is stored${asked.average ? `; formed are ${[...station.averaging.blocks, ...station.averaging.rolling].join(', ')}` : ''}`
      : `near it begin: ${near.map(({ startMs, average }) => `${clock.text(startMs)} (${average})`).join(', ')}`,
    ...(quantities.length > 0 ? [`formed of ${asked.channel}: ${quantities.join(', ')}`] : []),
  ].join('\n')
}
