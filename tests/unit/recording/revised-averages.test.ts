import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { aBlock, aFolder, aLine, recorded } from '../../support/a-recording.ts'

const historyOf = (path: string) => {
  const db = new Database(path, { readonly: true })
  try {
    return db.prepare('SELECT kind, replaced_ms, by, reason, old, new FROM average_history ORDER BY number').all() as {
      kind: string
      replaced_ms: number
      by: string | null
      reason: string
      old: string
      new: string
    }[]
  } finally {
    db.close()
  }
}
const revision = { atMs: 1_700_000_000_000, reason: 'next zero' as const }
const provisional = aBlock(0, { state: 'provisional', mean: 85 })
const final = aBlock(0, { state: 'final', mean: 83.5 })

test('what an average was before the next zero is kept beside what it became, and when', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(
    path,
    [[aLine(1)]],
    [
      { table: 'block', row: provisional },
      { table: 'block', row: final, revision },
    ],
  )
  const [only, ...rest] = historyOf(path)
  expect(rest).toEqual([])
  expect([only?.kind, only?.replaced_ms, only?.by, only?.reason]).toEqual(['block', revision.atMs, null, 'next zero'])
  expect([only?.old, only?.new].map((text) => (JSON.parse(text ?? '') as AverageRow).mean)).toEqual([85, 83.5])
  const recording = openRecording(path)
  expect(recording.blocks().map(({ mean, state }) => [mean, state])).toEqual([[83.5, 'final']])
  recording.close()
})
test('an average that only became final has no history', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(
    path,
    [[aLine(1)]],
    [
      { table: 'rolling', row: provisional },
      { table: 'rolling', row: { ...provisional, state: 'final' }, revision },
    ],
  )
  expect(historyOf(path)).toEqual([])
})
test('a run that is derived anew tells its history anew', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const told = [
    { table: 'block', row: provisional },
    { table: 'block', row: final, revision },
  ] as const
  recorded(path, [[aLine(1)]], [...told, { table: 'all-anew' }, ...told])
  expect(historyOf(path)).toHaveLength(1)
})
