import { countFlag } from '../../protocols/words/count-flags.ts'
import { conversionPlan } from '../engine/conversions/conversion-plan.ts'
import type { ReadingOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Cell, Column, Table } from './table.ts'

const flagWords: readonly string[] = Object.entries(countFlag).reduce<string[]>((words, [name, flag]) => {
  words[flag] = name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)
  return words
}, [])

/**
 * One row per reading: its phase and plant state, then of each channel the value as read, drift corrected and, where the
 * channel is referred, at the reference oxygen, each with its unit in the heading, and whether it counts, or why not.
 */
export function readingsTable(run: string, station: StationFile, readings: Iterable<ReadingOutput>): Table {
  const { referred, values } = conversionPlan(station)
  const columns: Column[] = [
    { name: 'run', kind: 'text' },
    { name: 'stream', kind: 'text' },
    { name: 'time', kind: 'time' },
    { name: 'line', kind: 'number' },
    { name: 'phase', kind: 'text' },
    { name: 'plant', kind: 'text' },
  ]
  station.channels.forEach(({ id, unit }, index) => {
    columns.push(
      { name: `${id} as_read [${unit}]`, kind: 'number' },
      { name: `${id} drift_corrected [${unit}]`, kind: 'number' },
    )
    const value = values[referred[index] ?? -1]
    if (value)
      columns.push({
        name: `${id} at_reference_oxygen [${value.unit} at ${value.referenceOxygen} vol% O2]`,
        kind: 'number',
      })
    columns.push({ name: `${id} counts`, kind: 'text' })
  })
  const row = (reading: ReadingOutput): Cell[] => {
    const cells: Cell[] = [run, reading.stream, reading.atMs, reading.sequence, reading.phase, reading.plant]
    station.channels.forEach((channel, index) => {
      const isOwn = streamOf(station, channel) === reading.stream
      cells.push(finiteOwn(reading.asRead, index, isOwn), finiteOwn(reading.corrected, index, isOwn))
      if (referred[index] !== null) cells.push(finiteOwn(reading.referred, index, isOwn))
      cells.push(isOwn ? (flagWords[reading.flags[index] ?? -1] ?? null) : null)
    })
    return cells
  }
  return {
    name: 'readings',
    columns,
    *rows() {
      for (const reading of readings) yield row(reading)
    },
  }
}

const finiteOwn = (values: readonly number[], index: number, isOwn: boolean): number | null => {
  const value = values[index] ?? Number.NaN
  return isOwn && Number.isFinite(value) ? value : null
}

/** The stream of a channel; of a sum, that of its members. */
function streamOf(station: StationFile, channel: StationFile['channels'][number]): string | undefined {
  return channel.stream ?? station.channels.find(({ id }) => id === channel.sumOf?.[0])?.stream
}
