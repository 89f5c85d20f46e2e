import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Unnumbered } from '../../server/recording/recording.ts'
import { verifySeals } from '../../server/recording/verify.ts'
import { aFolder, aLine, aLink, aRunChange, eveningMs, recorded } from '../support/a-recording.ts'

/** A live stretch of a line or two per commit with events between, then a bulk of 300 lines in one commit, then live again. */
const commits: Unnumbered[][] = [[aRunChange(0, 'start')]]
for (let n = 1; n <= 40; n += 1)
  commits.push(n % 7 === 0 ? [aLine(n), aLink(n)] : [aLine(n, { stream: n % 2 ? 'main' : 'outlet' })])
commits.push(Array.from({ length: 300 }, (_, index) => aLine(41 + index)))
for (let n = 341; n <= 360; n += 1) commits.push([aLine(n)])
commits.push([aRunChange(361, 'end')])
const inputs = commits.flat()
const numbersOf = (kind: 'line' | 'event') =>
  inputs.flatMap((input, index) => ((input.kind === 'line') === (kind === 'line') ? [index + 1] : []))
const [lineNumbers, eventNumbers] = [numbersOf('line'), numbersOf('event')]
const sealCount = 1 + commits.length + 1 // the first, one a commit, and a second one in the bulk

/** One edit as somebody with a database program would make it; `at`: a number that a fault must name, `seal`: or a seal. */
interface Edit {
  readonly name: string
  readonly sql: string
  readonly at?: number
  readonly seal?: number
  readonly kinds: readonly string[]
}
const aLineNumber = fc.constantFrom(...lineNumbers)
const anEventNumber = fc.constantFrom(...eventNumbers)
const aColumn = fc.constantFrom(
  `bytes = CAST(bytes || x'20' AS BLOB)`,
  `bytes = x''`,
  `stream = stream || '2'`,
  'at_ms = at_ms + 1',
  'monotonic_ms = monotonic_ms - 1',
  `piece = 'first'`,
)
const anEventColumn = fc.constantFrom(
  `body = replace(body, '"', '''')`,
  `body = body || ' '`,
  'at_ms = at_ms + 1',
  'monotonic_ms = 7',
  `kind = 'operator'`,
)
const anyNumber = fc.integer({ min: 1, max: inputs.length })
const shiftedFrom = (number: number): string =>
  ['line', 'event']
    .map(
      (table) =>
        `UPDATE ${table} SET sequence = -sequence - 1 WHERE sequence >= ${number}; UPDATE ${table} SET sequence = -sequence WHERE sequence < 0;`,
    )
    .join('')
const newLine = (number: number): string =>
  `INSERT INTO line VALUES (${number}, 'main', ${eveningMs}, 1, 'whole', x'41')`

const changes = fc.oneof(
  fc.tuple(aLineNumber, aColumn).map(
    ([at, column]): Edit => ({
      name: 'a line changed',
      sql: `UPDATE line SET ${column} WHERE sequence = ${at}`,
      at,
      kinds: ['changed'],
    }),
  ),
  fc.tuple(anEventNumber, anEventColumn).map(
    ([at, column]): Edit => ({
      name: 'an event changed',
      sql: `UPDATE event SET ${column} WHERE sequence = ${at}`,
      at,
      kinds: ['changed'],
    }),
  ),
)
const removals = fc.oneof(
  aLineNumber.map(
    (at): Edit => ({ name: 'a line removed', sql: `DELETE FROM line WHERE sequence = ${at}`, at, kinds: ['removed'] }),
  ),
  anEventNumber.map(
    (at): Edit => ({
      name: 'an event removed',
      sql: `DELETE FROM event WHERE sequence = ${at}`,
      at,
      kinds: ['removed'],
    }),
  ),
)
const insertions = fc.oneof(
  anyNumber.map(
    (at): Edit => ({
      name: 'a line inserted, the others moved up',
      sql: `${shiftedFrom(at)} ${newLine(at)}`,
      at,
      kinds: ['changed'],
    }),
  ),
  anEventNumber.map(
    (at): Edit => ({ name: 'a line inserted under the number of an event', sql: newLine(at), at, kinds: ['inserted'] }),
  ),
  fc.integer({ min: 1, max: 9 }).map(
    (more): Edit => ({
      name: 'a line inserted at the end',
      sql: newLine(inputs.length + more),
      at: inputs.length + more,
      kinds: ['unsealed'],
    }),
  ),
  fc
    .integer({ min: -9, max: 0 })
    .map((at): Edit => ({ name: 'a line inserted before the first', sql: newLine(at), at, kinds: ['inserted'] })),
)
const swaps = fc.uniqueArray(aLineNumber, { minLength: 2, maxLength: 2 }).map(
  ([one = 0, other = 0]): Edit => ({
    name: 'two lines reordered',
    at: one,
    kinds: ['changed'],
    sql: `UPDATE line SET sequence = -1 WHERE sequence = ${one}; UPDATE line SET sequence = ${one} WHERE sequence = ${other}; UPDATE line SET sequence = ${other} WHERE sequence = -1`,
  }),
)
const headers = fc
  .constantFrom(
    `run_name = 'Day run'`,
    `station = ''`,
    'made_ms = made_ms - 86400000',
    `engine_version = '0.1.1'`,
    'standby = 1',
    'invented = 0',
    `origin = 'imported'`,
    'run_number = 2',
    'run_count = 4',
  )
  .map(
    (column): Edit => ({
      name: 'the header changed',
      sql: `UPDATE header SET ${column}`,
      seal: 1,
      kinds: ['header-changed'],
    }),
  )
const settings = fc
  .constantFrom(`json = '{}'`, `json = json || ' '`, `sha256 = replace(sha256, substr(sha256, 1, 1), 'x')`)
  .map(
    (column): Edit => ({ name: 'settings changed', sql: `UPDATE settings SET ${column}`, kinds: ['settings-changed'] }),
  )
const aSeal = fc.integer({ min: 1, max: sealCount })
const aSealColumn = fc.constantFrom(
  `hash = replace(hash, substr(hash, 9, 1), 'x')`,
  `previous = '${'1'.repeat(64)}'`,
  'first_sequence = first_sequence - 1',
  'last_sequence = last_sequence + 1',
  'last_sequence = 9007199254740991',
  'made_ms = made_ms + 1',
)
const sealEdits = fc.oneof(
  fc.tuple(aSeal, aSealColumn).map(
    ([seal, column]): Edit => ({
      name: 'a seal changed',
      sql: `UPDATE seal SET ${column} WHERE number = ${seal}`,
      seal,
      kinds: ['seal-changed', 'changed', 'removed', 'header-changed'],
    }),
  ),
  aSeal.map(
    (seal): Edit => ({
      name: 'a seal removed',
      sql: `DELETE FROM seal WHERE number = ${seal}`,
      ...(seal === sealCount ? { at: inputs.length } : { seal }),
      kinds: ['seal-removed', 'unsealed'],
    }),
  ),
  fc.constant<Edit>({
    name: 'a seal inserted',
    sql: `INSERT INTO seal SELECT number + 1, last_sequence + 1, last_sequence, hash, hash, made_ms FROM seal ORDER BY number DESC LIMIT 1`,
    seal: sealCount + 1,
    kinds: ['changed'],
  }),
)

function anUntouchedRecording(): string {
  const path = join(aFolder(), 'untouched.flue.sqlite')
  recorded(path, commits)
  return path
}

test('an untouched recording passes', () => {
  expect(verifySeals(anUntouchedRecording())).toMatchObject({
    seals: { ok: true, count: sealCount },
    order: { ok: true },
    file: { ok: true },
  })
})

test.each([
  { what: 'a changed line or event', edits: changes, numRuns: 60 },
  { what: 'a removed line or event', edits: removals, numRuns: 30 },
  { what: 'an inserted line', edits: insertions, numRuns: 40 },
  { what: 'reordered lines', edits: swaps, numRuns: 20 },
  { what: 'a changed header', edits: headers, numRuns: 15 },
  { what: 'changed settings', edits: settings, numRuns: 5 },
  { what: 'a changed, removed or inserted seal', edits: sealEdits, numRuns: 50 },
])('$what is found, and the fault says where', ({ edits, numRuns }) => {
  const untouched = anUntouchedRecording()
  const path = join(aFolder(), 'edited.flue.sqlite')
  fc.assert(
    fc.property(edits, (edit) => {
      copyFileSync(untouched, path)
      const db = new Database(path)
      db.exec(edit.sql)
      db.close()
      const { seals } = verifySeals(path)
      const found = seals.faults.filter(({ kind, sequences, seal }) => {
        const isThere =
          edit.at === undefined || (sequences !== null && sequences[0] <= edit.at && edit.at <= sequences[1])
        return edit.kinds.includes(kind) && isThere && (edit.seal === undefined || seal === edit.seal)
      })
      expect(found, JSON.stringify(seals.faults)).not.toEqual([])
    }),
    { numRuns, seed: 20261125 },
  )
})

test('a changed line is named with its number, stream and time', () => {
  const path = anUntouchedRecording()
  const db = new Database(path)
  db.exec("UPDATE line SET bytes = x'42' WHERE sequence = 4")
  db.close()
  expect(verifySeals(path).seals.faults.map(({ text }) => text)).toEqual([
    'changed, or the seal over it: number 4, stream main, 2026-11-25T21:00:03.000Z, seal 5',
  ])
})

test('a recording cut at its end together with its seals is found by a head that was noted before', () => {
  const path = anUntouchedRecording()
  const { head } = verifySeals(path).seals
  const db = new Database(path)
  const last = inputs.length
  db.exec(`DELETE FROM seal WHERE number = ${sealCount}; DELETE FROM event WHERE sequence = ${last}`)
  db.close()
  expect(verifySeals(path).seals.ok).toBe(true)
  expect(verifySeals(path, { expectedHead: head ?? '' }).seals.faults.map(({ kind }) => kind)).toEqual(['head-unknown'])
})

test('a head that was noted during the run is still known at its end', () => {
  const path = anUntouchedRecording()
  const db = new Database(path)
  const hash = String(db.prepare('SELECT hash FROM seal WHERE number = 9').pluck().get())
  db.close()
  expect(verifySeals(path, { expectedHead: hash }).seals.ok).toBe(true)
})
