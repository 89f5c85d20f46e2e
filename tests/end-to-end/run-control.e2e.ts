import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { flueledger, Running, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-runs-'))
const running: Running[] = []
afterAll(async () => {
  for (const one of running) await one.stop('SIGKILL')
  rmSync(folder, { recursive: true, force: true })
})

interface Listed {
  readonly recordings: readonly { readonly id: string; readonly name: string; readonly state: string }[]
}

test('runs follow each other by their end rule, and what comes between goes to a standby recording', async () => {
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
  running.push(simulator)
  const station = join(folder, 'station.json')
  writeFileSync(
    station,
    (await flueledger('simulate', '--scenario', 'half-hour', '--station-file', '--to', `tcp:${await simulator.port()}`))
      .out,
  )
  const data = join(folder, 'data')
  const serve = new Running('serve', '--station', station, '--data', data, '--port', '0')
  running.push(serve)
  const address = await serve.address()
  const ask = async (request: object): Promise<number> =>
    (
      await fetch(`${address}/api/run`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(request),
      })
    ).status
  const list = async (): Promise<Listed['recordings']> =>
    ((await (await fetch(`${address}/api/recordings`)).json()) as Listed).recordings

  expect(await ask({ do: 'start', by: 'A. Tester' }), 'a run is going on already').toBe(409)
  expect(await ask({ do: 'end', by: 'A. Tester', note: 'enough' })).toBe(200)
  expect(await ask({ do: 'end', by: 'A. Tester' }), 'there is none any more').toBe(409)
  expect(
    await ask({
      do: 'start',
      by: 'A. Tester',
      name: 'pair',
      end: { afterMinutes: 0.03 },
      count: 2,
      pauseMinutes: 0.02,
    }),
  ).toBe(200)
  const pair = await until('both runs ended', async () => {
    const found = (await list()).filter(({ name }) => name.startsWith('pair'))
    return found.length === 2 && found.every(({ state }) => state === 'ended') ? found : null
  })
  expect(pair.map(({ name }) => name)).toEqual(['pair 1', 'pair 2'])
  expect((await list()).filter(({ state }) => state === 'standby').length).toBeGreaterThanOrEqual(2)

  expect(
    await ask({ do: 'start', by: 'A. Tester', name: 'later', at: new Date(Date.now() + 1500).toISOString() }),
  ).toBe(200)
  await until('the planned run began by itself', async () =>
    (await list()).some(({ name, state }) => name === 'later' && state === 'running'),
  )

  expect(await ask({ do: 'start', by: 'A. Tester', name: 'next', at: new Date().toISOString() })).toBe(200)
  expect((await list()).filter(({ name }) => name === 'next')).toEqual([])
  expect(await ask({ do: 'end', by: 'A. Tester' })).toBe(200)
  await until('the run planned meanwhile began when the one before it had ended', async () =>
    (await list()).some(({ name, state }) => name === 'next' && state === 'running'),
  )
  await serve.endsInOrder()
  for (const file of readdirSync(data).filter((name) => name.endsWith('.flue.sqlite'))) {
    const verified = await flueledger('verify', join(data, file))
    expect(verified.out, file).not.toContain('FAULTY')
    expect(verified.status, file).toBe(0)
  }
})
