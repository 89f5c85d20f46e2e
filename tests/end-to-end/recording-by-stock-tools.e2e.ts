import { spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { createRecording } from '../../server/recording/recording-writer.ts'
import { aBlock, aFolder, aHeader, aLine, aLink, aRunChange, recorded } from '../support/a-recording.ts'

/** Runs a stock program; what it prints, or what went wrong. */
function run(program: string, ...options: string[]): string {
  const { status, stdout, stderr, error } = spawnSync(program, options, { encoding: 'utf8' })
  return status === 0 ? stdout.trim() : `${program}: ${error?.message ?? stderr}`
}

test('the stock sqlite3 program knows a recording by its mark, and shows lines and times that a person can read', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [[aRunChange(0, 'start'), aLine(1)]], [{ table: 'block', row: aBlock(0) }])
  expect(run('sqlite3', path, 'PRAGMA application_id; PRAGMA user_version; PRAGMA integrity_check')).toBe(
    '1179407685\n5\nok',
  )
  expect(run('sqlite3', path, 'SELECT * FROM readable_line')).toBe(
    '2|main|2026-11-25T21:00:01.000Z|6.0|whole|1;8,1;112;-0,3',
  )
  expect(run('sqlite3', path, 'SELECT "start", "end", mean, counted_seconds, validity FROM readable_block')).toBe(
    '2026-11-25T21:00:00.000Z|2026-11-25T21:01:00.000Z|0.3|60.0|valid',
  )
  expect(run('sqlite3', path, "SELECT count(*) FROM sqlite_schema WHERE type = 'view'")).toBe('11')
  for (const view of run('sqlite3', path, "SELECT name FROM sqlite_schema WHERE type = 'view'").split('\n')) {
    expect(run('sqlite3', path, `SELECT count(*) FROM ${view}`)).toMatch(/^\d+$/)
  }
})

test('the stock sqlite3 program reads a recording that is being written', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  for (let n = 1; n <= 30; n += 1) writer.append(aLine(n))
  await writer.flush()
  expect(run('sqlite3', path, 'SELECT count(*) FROM line')).toBe('30')
  await writer.close()
})

test('each seal is recomputed with sqlite3 and sha256sum alone, as the page on the format says', () => {
  const page = readFileSync(join(import.meta.dirname, '../../docs/recording-format.md'), 'utf8')
  const recipe = join(aFolder(), 'recompute.sh')
  writeFileSync(recipe, /```sh\n(.*?)```/s.exec(page)?.[1] ?? '')
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [
    [aRunChange(0, 'start')],
    [aLine(1, { stream: 'Süd', bytes: Uint8Array.from([0, 255, 10]) }), aLink(1), aLine(2)],
    Array.from({ length: 300 }, (_, index) => aLine(3 + index)),
  ])
  for (const seal of ['1', '2', '3', '4', '5']) {
    const [recomputed, stored, ...rest] = run('sh', recipe, path, seal).split('\n')
    expect([recomputed, rest]).toEqual([expect.stringMatching(/^[0-9a-f]{64}$/), []])
    expect(recomputed).toBe(stored)
  }
})
