import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, expect, test, vi } from 'vitest'
import { runCommandLine } from '../../../server/commands/command-line.ts'

const docs = join(import.meta.dirname, '../../../docs')
const pageOf = (name: string): string => readFileSync(join(docs, name), 'utf8')
/** All that a tester reads; the changelog tells of the past. */
const pages = readdirSync(docs)
  .filter((name) => name.endsWith('.md') && name !== 'changelog.md')
  .map(pageOf)
  .join('\n')

afterEach(() => vi.restoreAllMocks())
async function help(...verb: string[]): Promise<string> {
  let said = ''
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said += text
    return true
  })
  await runCommandLine(['node', 'flueledger', ...verb, '--help'])
  vi.restoreAllMocks()
  return said
}
const matches = (text: string, pattern: RegExp): string[] => [...text.matchAll(pattern)].map(([, found = '']) => found)
const flagsOf = async (verb: string): Promise<string[]> => matches(await help(verb), /^ {2}(--[a-z-]+)/gm)

const verbs = matches(await help(), /^ {2}([a-z-]+) (?=\[|<)/gm).filter((verb) => verb !== 'help')

test('all verbs are looked at', () => {
  expect(verbs).toHaveLength(12)
})

test.each(verbs)('every flag of %s stands in the pages for testers', async (verb) => {
  const flags = await flagsOf(verb)
  expect(flags.filter((flag) => !new RegExp(`${flag}(?![a-z-])`).test(pages))).toEqual([])
})

test('the page of the simulator has all its flags in its table, and no others', async () => {
  const table = matches(pageOf('simulator.md'), /^\| `(--[a-z-]+)` \|/gm)
  expect([...table].sort()).toEqual((await flagsOf('simulate')).sort())
})
