import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { logbookAnswer, type RecordingSummary, recordingsAnswer } from '../../protocols/live/requests.ts'
import { aBrowser, watchedPage } from '../support/a-browser.ts'
import { endAll, flueledger, Running, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'live-station-'))
let browser: Browser
beforeAll(async () => {
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

/** The instrument writes a line each second. */
const intervalMs = 1000
const simulate = ['simulate', '--scenario', 'half-hour']

/**
 * When the figures that the page shows turn stale, on the page's own clock: the first and the last of them; and for how
 * long at most the page could do nothing meanwhile, which a busy machine makes longer and no page can help.
 */
const turnsStale = (page: Page): Promise<{ firstMs: number; allMs: number; longestStallMs: number }> =>
  page.evaluate(
    () =>
      new Promise((resolve) => {
        const figuresIn = (root: ParentNode): Element[] =>
          [...root.querySelectorAll('*')].flatMap((element) => [
            ...(element.localName === 'channel-figures' ? [element] : []),
            ...(element.shadowRoot ? figuresIn(element.shadowRoot) : []),
          ])
        const figures = figuresIn(document)
        const lookEveryMs = 20
        let lookedMs = performance.now()
        let longestStallMs = 0
        let firstMs: number | null = null
        const look = setInterval(() => {
          const nowMs = performance.now()
          longestStallMs = Math.max(longestStallMs, nowMs - lookedMs - lookEveryMs)
          lookedMs = nowMs
          const stale = figures.filter((element) => element.hasAttribute('stale')).length
          if (stale > 0) firstMs ??= nowMs
          if (firstMs === null || stale < figures.length) return
          clearInterval(look)
          resolve({ firstMs, allMs: nowMs, longestStallMs })
        }, lookEveryMs)
        Object.assign(window, { figuresWatched: true })
      }),
  )

test('a dead instrument turns the figures stale within three intervals; its return resumes the same run', async () => {
  // Two minutes into its cycle the instrument measures, for eight minutes: three of them have passed.
  const night = ['--start', new Date(Math.floor(Date.now() / 1000) * 1000 - 180_000).toISOString(), '--skip-to', 'now']
  const first = new Running(...simulate, ...night, '--to', 'tcp:0')
  const port = await first.port()
  const stationFile = join(folder, 'station.json')
  writeFileSync(stationFile, (await flueledger(...simulate, '--station-file', '--to', `tcp:${port}`)).out)
  const station = new Running('serve', '--station', stationFile, '--data', join(folder, 'data'), '--port', '0')
  const address = await station.address()
  const recordings = async (): Promise<RecordingSummary[]> =>
    recordingsAnswer.parse(await (await fetch(`${address}/api/recordings`)).json()).recordings

  const { page, errors, foreign, close } = await watchedPage(browser, address)
  await page.goto(`${address}/`)
  const figures = page.locator('channel-figures')
  const fresh = page.locator('channel-figures:not([stale]) .digits', { hasText: /\d/ })
  await fresh.first().waitFor()
  const shown = await figures.count()
  expect(shown).toBeGreaterThanOrEqual(5)
  await expect.poll(() => fresh.count()).toBeGreaterThanOrEqual(shown)
  const [before] = await recordings()
  expect(before).toMatchObject({ state: 'running' })

  const turned = turnsStale(page)
  await page.waitForFunction(() => 'figuresWatched' in window)
  await first.stop('SIGKILL')
  const goneMs = await page.evaluate(() => performance.now())
  const { firstMs, allMs, longestStallMs } = await turned
  // What a line may need on its way to the page comes on top.
  expect(firstMs - goneMs - longestStallMs).toBeLessThan(3 * intervalMs + 500)
  expect(allMs - firstMs - longestStallMs).toBeLessThan(500)
  // Not sooner than a missing line could be told from a late one.
  expect(firstMs - goneMs).toBeGreaterThan(intervalMs)

  // The lost link is an alarm: taken note of without a mouse.
  await page.getByRole('list', { name: 'Alarms' }).getByRole('button', { name: 'Acknowledge …' }).first().waitFor()
  await page.keyboard.press('a')
  await page.getByRole('dialog').waitFor()
  await page.keyboard.type('on my way')
  await page.keyboard.press('Tab')
  await page.keyboard.type('M. Example')
  await page.keyboard.press('Enter')
  await page.getByText('stands, acknowledged').first().waitFor()
  const acknowledged = await until('the acknowledgement is in the logbook', async () => {
    const { entries } = logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json())
    return entries.find(({ by }) => by === 'M. Example')
  })
  expect(acknowledged.text).toMatch(/on my way/)

  new Running(...simulate, ...night, '--to', `tcp:${port}`)
  await fresh.first().waitFor()
  await expect.poll(() => fresh.count()).toBeGreaterThanOrEqual(shown)
  const after = await recordings()
  expect(after).toHaveLength(1)
  expect(after[0]).toMatchObject({ id: before?.id, state: 'running' })
  await expect.poll(async () => (await recordings())[0]?.lines ?? 0).toBeGreaterThan(before?.lines ?? 0)

  await close()
  expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
  await station.endsInOrder()
})
