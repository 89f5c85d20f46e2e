import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { logbookAnswer, recordingsAnswer } from '../../protocols/live/requests.ts'
import { aBrowser, eventually, watchedPage } from '../support/a-browser.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'restarted-station-'))
let browser: Browser
beforeAll(async () => {
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

const simulate = ['simulate', '--scenario', 'half-hour']

test('a server killed and started again under an open page: the page comes back by itself to the same run and says what was missed', async () => {
  // Two minutes into its cycle the instrument measures, for eight minutes: three of them have passed.
  const night = ['--start', new Date(Math.floor(Date.now() / 1000) * 1000 - 180_000).toISOString(), '--skip-to', 'now']
  const instrument = new Running(...simulate, ...night, '--to', 'tcp:0')
  const stationFile = join(folder, 'station.json')
  const to = `tcp:${await instrument.port()}`
  writeFileSync(stationFile, (await flueledger(...simulate, '--station-file', '--to', to)).out)
  const serve = ['serve', '--station', stationFile, '--data', join(folder, 'data')]
  const first = new Running(...serve, '--port', '0')
  const address = await first.address()
  const recordings = async () =>
    recordingsAnswer.parse(await (await fetch(`${address}/api/recordings`)).json()).recordings
  const entries = async () =>
    logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json()).entries

  const { page, errors, foreign, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/watch?window=run`)
  await page.locator('channel-figures:not([stale]) .digits', { hasText: /\d/ }).first().waitFor()
  // All pieces of the page are here before the server goes.
  await page.waitForLoadState('networkidle')
  await page.evaluate(() => {
    Object.assign(window, { neverReloaded: true })
  })
  const [before] = await recordings()
  const known = (await entries()).length

  await first.stop('SIGKILL')
  await page.getByRole('heading', { level: 1, name: 'Out of touch' }).waitFor(eventually)
  const cutOff = await page.locator('status-line ul').textContent()
  const told = await page.locator('channel-figures .digits').allInnerTexts()

  const second = new Running(...serve, '--port', new URL(address).port)
  expect(await second.address()).toBe(address)
  await page.getByText('linked, live').waitFor(eventually)
  await page.locator('channel-figures:not([stale]) .digits', { hasText: /\d/ }).first().waitFor(eventually)
  const [after, ...others] = await recordings()
  const missed = (await entries()).slice(known).map(({ text }) => text)
  await page.keyboard.press('4')
  const logbook = page.locator('logbook-view li .text')
  await logbook.first().waitFor()
  const read = await logbook.allInnerTexts()
  const isSamePage = await page.evaluate(() => 'neverReloaded' in window)
  const at = await page.evaluate(() => location.hash)
  await close()

  expect(cutOff).toMatch(/no link to the station for/)
  expect(told.every((text) => text === '– – –')).toBe(true)
  expect({ others, id: after?.id, state: after?.state }).toEqual({ others: [], id: before?.id, state: 'running' })
  expect(after?.lines ?? 0).toBeGreaterThan(before?.lines ?? Number.NaN)
  // On a busy machine the instrument's line may be late, too: that stands among them.
  const meanwhile = ['run: resume (killed)', expect.stringMatching(/^link open: connected to/)]
  expect(missed).toEqual(expect.arrayContaining(meanwhile))
  expect(read).toEqual(
    expect.arrayContaining([
      expect.stringMatching(/^Run resumed: the station had been killed or had lost its power\./),
      expect.stringMatching(/^Link to the instrument open: connected to/),
    ]),
  )
  expect(isSamePage).toBe(true)
  expect(at).toBe('#/logbook?window=run')
  // The browser itself tells of each request that found nobody; the page has nothing else to tell.
  expect(errors.filter((text) => !/net::ERR_CONNECTION_(REFUSED|RESET)|closed before/.test(text))).toEqual([])
  expect(foreign).toEqual([])
  await second.endsInOrder()
})
