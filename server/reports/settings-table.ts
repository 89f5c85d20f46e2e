import { originOf } from '../engine/settings/in-force.ts'
import { methodNote } from '../engine/settings/method-notes.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { correctionWords } from './correction-words.ts'
import { settingsRows } from './settings-rows.ts'
import { type Table, tableOf } from './table.ts'

/** All settings in force, each with where it is from; what must be said of the method, first, and the newest seal (`head`) of what was recorded. */
export function settingsTable(name: string, station: StationFile, head: string | null): Table {
  const rows = [
    { setting: 'note on the method', value: methodNote(station), from: '' },
    ...(station.results.uncertainty === undefined && station.limits.some(({ of }) => of !== 'reading')
      ? [{ setting: 'note on verdicts', value: 'none are given: results.uncertainty is not set', from: '' }]
      : []),
    ...correctionWords(station).map(([place, text]) => ({ setting: place, value: text, from: '' })),
    ...(head === null ? [] : [{ setting: 'newest seal', value: head, from: '' }]),
    ...settingsRows(station).map(([path, value]) => ({
      setting: path,
      value,
      from: originOf(station, settingOf(path)),
    })),
  ]
  return tableOf(name, () => rows, [
    ['setting', 'text', ({ setting }) => setting],
    ['value', 'text', ({ value }) => value],
    ['from', 'text', ({ from }) => from],
  ])
}

/** `averaging.blocks[0]` → the setting that it is part of: a list is set as a whole. */
const settingOf = (path: string): string[] => (path.split('[')[0] ?? '').split('.')
