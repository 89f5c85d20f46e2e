import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type LogPiece, readLog, readLogSync } from '../../../server/sources/read-log.ts'
import { SourceTrouble } from '../../../server/sources/trouble-texts.ts'

let folder: string
let path: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'log-'))
  path = join(folder, 'night.log')
})
afterEach(() => rmSync(folder, { recursive: true }))

async function inBatches(): Promise<LogPiece[]> {
  const pieces: LogPiece[] = []
  for await (const batch of readLog(path)) pieces.push(...batch)
  return pieces
}

const told = ({ bytes, piece }: LogPiece): string => `${piece}:${Buffer.from(bytes)}`

test('a log is read from its first line, which counts, to an unended last one', async () => {
  writeFileSync(path, 'head\n1\r\n\n2')
  const expected = ['whole:head\n', 'whole:1\r\n', 'whole:\n', 'unended:2']
  expect([...readLogSync(path)].map(told)).toEqual(expected)
  expect((await inBatches()).map(told)).toEqual(expected)
})

test('lines across the borders of the chunks are whole, and all bytes are there', async () => {
  const text = Array.from({ length: 150_000 }, (_, line) => `${line};8.1;112;35.5\n`).join('') // about 3 MB
  writeFileSync(path, text)
  const pieces = [...readLogSync(path)]
  expect(pieces.length).toBe(150_000)
  expect(Buffer.concat(pieces.map(({ bytes }) => bytes)).equals(Buffer.from(text))).toBe(true)
  expect(Buffer.concat((await inBatches()).map(({ bytes }) => bytes)).equals(Buffer.from(text))).toBe(true)
})

test('progress tells the bytes read', () => {
  writeFileSync(path, 'x\n'.repeat(700_000))
  const seen: number[] = []
  for (const _ of readLogSync(path, { onProgress: (bytes) => seen.push(bytes) }));
  expect(seen).toEqual([1_048_576, 1_400_000])
})

test('a log that is not there is a trouble that names it', async () => {
  expect(() => [...readLogSync(path)]).toThrow(SourceTrouble)
  await expect(inBatches()).rejects.toThrow(/night.log cannot be read: there is no such file/)
})
