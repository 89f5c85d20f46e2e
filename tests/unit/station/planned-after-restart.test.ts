import { copyFileSync, readdirSync, renameSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { runRequest } from '../../../protocols/live/requests.ts'
import { stationClock } from '../../../server/clock.ts'
import { Station } from '../../../server/station/station.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, ten } from '../../support/engine-night.ts'

const hour = 3_600_000
const by = 'A. Tester'
const evening = runRequest.parse({
  do: 'start',
  by,
  name: 'evening',
  at: new Date(ten + hour).toISOString(),
  count: 2,
  pauseMinutes: 10,
  end: { afterMinutes: 90 },
})

/** A station started in a folder at an instant, asked something, and stopped. Gives what it says of its runs, and its warnings. */
async function started(folder: string, atMs: number, ask?: (station: Station) => Promise<unknown>, waits = false) {
  const clock = stationClock({ startMs: atMs })
  const said: string[] = []
  const log = (text: string): void => void said.push(text)
  const station = new Station({ station: aNightStation(), folder, clock, invented: true, log, waits })
  await station.start()
  await ask?.(station)
  const { name, state, plannedMs, number, of, endRule } = station.runs.state(station.run)
  await station.stop()
  return { name, state, plannedMs, number, of, endRule, said: said.join('\n') }
}
const plan = async (station: Station) => expect(await station.control(evening)).toEqual({ ok: true })

describe('a run that was planned outlives a restart', () => {
  test('it begins at its time, with its name, its end and what follows it', async () => {
    const folder = aFolder()
    await started(folder, ten, plan, true)
    const waiting = await started(folder, ten + 60_000)
    expect(waiting).toMatchObject({ name: 'evening 1', state: 'planned', plannedMs: ten + hour, of: 2 })
    const late = await started(folder, ten + 2 * hour)
    expect(late).toMatchObject({ name: 'evening 1', state: 'running', plannedMs: null, number: 1, of: 2 })
    expect(late.endRule).toBe('after 90 minutes')
    // Stopped within the first of two, the second still follows.
    const second = await started(folder, ten + 2 * hour + 60_000, (station) =>
      station.control({ do: 'end', by, note: '' }),
    )
    expect(second).toMatchObject({ name: 'evening 1', state: 'planned', of: 2 })
    expect(second.plannedMs).toBeGreaterThan(ten + 2 * hour + 10 * 60_000)
  })
  test('also where it is to follow the one that is on', async () => {
    const folder = aFolder()
    await started(folder, ten, plan)
    expect(await started(folder, ten + 60_000)).toMatchObject({ state: 'running', plannedMs: ten + hour })
  })
  test('also where the station is killed when the one that was on had ended, before it was noted that the next one is due', async () => {
    const folder = aFolder()
    const kept = join(folder, 'runs-to-come.json')
    await started(folder, ten, plan)
    copyFileSync(kept, `${kept}.as-it-ended`)
    await started(folder, ten + 60_000, (station) => station.control({ do: 'end', by, note: '' }))
    renameSync(`${kept}.as-it-ended`, kept)
    const found = await started(folder, ten + 120_000)
    expect(found).toMatchObject({ name: 'evening 1', state: 'planned', plannedMs: ten + hour, of: 2 })
    const late = await started(folder, ten + 2 * hour)
    expect(late).toMatchObject({ name: 'evening 1', state: 'running', endRule: 'after 90 minutes' })
  })
  test('and is not called missed where it has begun and goes on, though the disk took its start and not that its plan is done', async () => {
    const folder = aFolder()
    const kept = join(folder, 'runs-to-come.json')
    const { end: _, ...endless } = evening as Extract<typeof evening, { do: 'start' }>
    await started(folder, ten, (station) => station.control(endless), true)
    copyFileSync(kept, `${kept}.as-planned`)
    expect(await started(folder, ten + hour + 60_000)).toMatchObject({ state: 'running', number: 1 })
    renameSync(`${kept}.as-planned`, kept)
    const atMs = ten + 30 * hour
    const found = await started(folder, atMs, (station) => station.control({ do: 'end', by, note: '' }))
    expect(found).toMatchObject({ name: 'evening 1', state: 'planned', number: 1, of: 2 })
    expect(found.plannedMs).toBeGreaterThanOrEqual(atMs + 10 * 60_000)
    expect(found.said).not.toContain('more than a day ago')
  })
  test('runs of a sequence that were called off in its pause do not come back', async () => {
    const folder = aFolder()
    const { at: _, ...now } = evening as Extract<typeof evening, { do: 'start' }>
    const paused = await started(
      folder,
      ten,
      async (station) => {
        await station.control(now)
        await station.control({ do: 'end', by, note: '' })
      },
      true,
    )
    expect(paused).toMatchObject({ state: 'planned', number: 1, of: 2 })
    await started(folder, ten + 60_000, (station) => station.control({ do: 'cancel-planned', by }), true)
    expect(await started(folder, ten + 120_000, undefined, true)).toMatchObject({ state: 'waiting', plannedMs: null })
    expect(readdirSync(folder)).not.toContain('runs-to-come.json')
  })
  test('runs of a sequence that were called off while one of them is on do not come back either; that one keeps its name', async () => {
    const folder = aFolder()
    const { at: _, ...now } = evening as Extract<typeof evening, { do: 'start' }>
    const cancel = (station: Station) => station.control({ do: 'cancel-planned', by })
    const alone = { name: 'evening 1', state: 'running', number: 1, of: 1 }
    const begun = await started(
      folder,
      ten,
      async (station) => {
        await station.control(now)
        expect(await cancel(station)).toEqual({ ok: true })
        expect(await cancel(station)).toMatchObject({ ok: false, status: 409 })
      },
      true,
    )
    expect(begun).toMatchObject(alone)
    expect(await started(folder, ten + 60_000, undefined, true)).toMatchObject(alone)
    const end = (station: Station) => station.control({ do: 'end', by, note: '' })
    expect(await started(folder, ten + 120_000, end, true)).toMatchObject({ name: 'evening 1', state: 'ended' })
    expect(await started(folder, ten + hour, undefined, true)).toMatchObject({ state: 'waiting', plannedMs: null })
    expect(readdirSync(folder)).not.toContain('runs-to-come.json')
  })
  test('it is forgotten when it is cancelled', async () => {
    const folder = aFolder()
    await started(folder, ten, plan, true)
    const cancel = (station: Station) => station.control({ do: 'cancel-planned', by })
    expect(await started(folder, ten + 60_000, cancel)).toMatchObject({ state: 'waiting', plannedMs: null })
    expect(readdirSync(folder)).not.toContain('runs-to-come.json')
  })
  test('a start that was missed by more than a day is said, and not made up for', async () => {
    const folder = aFolder()
    await started(folder, ten, plan, true)
    const { name, said } = await started(folder, ten + 26 * hour)
    expect(name).toBe('run')
    expect(said).toMatch(/a run was planned for .*, more than a day ago: it is not begun/)
  })
})
