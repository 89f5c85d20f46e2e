import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { writeWhole } from '../../../server/reports/atomic-file.ts'
import { exitStatus, Trouble } from '../../../server/trouble.ts'

const folder = mkdtempSync(join(tmpdir(), 'whole-'))
afterAll(() => rmSync(folder, { recursive: true }))

test('a file that was begun and not ended does not exist, and the old one stays', async () => {
  const path = join(folder, 'blocks.csv')
  writeFileSync(path, 'old')
  const broken = (function* () {
    yield 'half of '
    throw new Error('the recording ended')
  })()
  await expect(writeWhole(path, broken)).rejects.toThrow('the recording ended')
  expect(readFileSync(path, 'utf8')).toBe('old')
  expect(readdirSync(folder)).toEqual(['blocks.csv'])
})

test('a file that is stopped while it is written is not there', async () => {
  const halt = new AbortController()
  const lines = (function* () {
    yield 'one\n'
    halt.abort()
    yield 'two\n'
  })()
  await expect(writeWhole(join(folder, 'stopped', 'blocks.csv'), lines, halt.signal)).rejects.toMatchObject({
    status: exitStatus.interrupted,
  })
  expect(readdirSync(join(folder, 'stopped'))).toEqual([])
})

test('a written file replaces the old one, in a folder that is made', async () => {
  const path = join(folder, 'new', 'blocks.csv')
  await writeWhole(path, ['one\n', 'two\n'])
  await writeWhole(path, 'three\n')
  expect(readFileSync(path, 'utf8')).toBe('three\n')
  expect(readdirSync(join(folder, 'new'))).toEqual(['blocks.csv'])
})

test('a target that cannot be written is a trouble with a way out', async () => {
  writeFileSync(join(folder, 'no-folder'), '')
  const written = writeWhole(join(folder, 'no-folder', 'blocks.csv'), 'x')
  await expect(written).rejects.toThrow(Trouble)
  await expect(written).rejects.toThrow(/cannot be written \((ENOTDIR|EEXIST)\); choose another --out/)
})
