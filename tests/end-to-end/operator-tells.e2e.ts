import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { logbookAnswer } from '../../protocols/live/requests.ts'
import { endAll, flueledger, post, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-tells-'))
afterAll(async () => {
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

/** A station on a simulator; `change` alters its station file. */
async function serving(name: string, change: (station: Record<string, unknown>) => object): Promise<string> {
  const simulator = new Running(
    'simulate',
    '--scenario',
    'half-hour',
    '--start',
    'now',
    '--hours',
    '1',
    '--to',
    'tcp:0',
  )
  const port = await simulator.port()
  const given = (await flueledger('simulate', '--scenario', 'half-hour', '--station-file', '--to', `tcp:${port}`)).out
  const file = join(folder, `${name}.json`)
  writeFileSync(file, JSON.stringify(change(JSON.parse(given))))
  return new Running('serve', '--station', file, '--data', join(folder, name), '--port', '0').address()
}
const phase = { do: 'mark-phase', by: 'A. Tester', stream: null, phase: 'span' }
const plant = { do: 'plant-state', by: 'A. Tester', state: 'off' }

test('what a station file does not take from the operator is refused with the way out, not taken down without effect', async () => {
  const address = await serving('deaf', (station) => ({
    ...station,
    phases: { ...(station.phases as object), from: ['status'] },
  }))
  const answers = await Promise.all([phase, plant].map((action) => post(address, '/api/actions', action)))
  const told = (await Promise.all(answers.map((answer) => answer.json()))) as { errors: string[] }[]
  const { entries } = logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json())

  expect(answers.map(({ status }) => status)).toEqual([409, 409])
  expect(told.flatMap(({ errors }) => errors)).toEqual([
    expect.stringMatching(/add "operator" to phases\.from/),
    expect.stringMatching(/set plantState\.from to "operator"/),
  ])
  expect(entries.filter(({ kind }) => kind === 'operator')).toEqual([])
})

test('where the station file takes it, a phase that an operator tells holds, and the logbook keeps who told it', async () => {
  const address = await serving('listening', (station) => ({
    ...station,
    phases: { ...(station.phases as object), from: ['operator', 'status'] },
    plantState: { from: 'operator' },
  }))
  const answers = await Promise.all([phase, plant].map((action) => post(address, '/api/actions', action)))
  const { entries } = logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json())

  expect(answers.map(({ status }) => status)).toEqual([200, 200])
  expect(entries.filter(({ kind }) => kind === 'operator').map(({ text, by }) => [text, by])).toEqual([
    ['phase marked: span', 'A. Tester'],
    ['plant: off', 'A. Tester'],
  ])
})
