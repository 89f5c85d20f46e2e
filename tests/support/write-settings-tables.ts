import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { stationSchema } from '../../server/station/load-station-file.ts'
import { settingsTables, tablesBegin, tablesEnd } from './settings-tables.ts'

/** Puts the tables of the settings into their page anew, after the schema has changed. */
const page = join(import.meta.dirname, '../../docs/station-file.md')
const text = readFileSync(page, 'utf8')
const [before] = text.split(tablesBegin)
const after = text.split(tablesEnd)[1]
writeFileSync(page, `${before}${tablesBegin}\n\n${settingsTables(stationSchema())}\n${tablesEnd}${after ?? ''}`)
