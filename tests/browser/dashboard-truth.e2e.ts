import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { eventually, watchedPage } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'
import { condensateAlarm } from '../support/fixture-live/happenings.ts'
import { readingAt } from '../support/fixture-live/snapshot.ts'

const dashboard = aDashboard()

const dashes = '– – –'
/** The number of the last message that the page took in. */
const taken = (page: Page) =>
  page.evaluate(
    () =>
      (document.querySelector('flue-app') as unknown as { session: { state: { sequence: number } } }).session.state
        .sequence,
  )

test('after three missed intervals the digits are gone and their age stands there; lines that come again bring them back', async () => {
  const { page, close } = await dashboard.opened()
  const digits = page.locator('channel-figures .digits')
  await expect.poll(() => digits.first().textContent(), eventually).toMatch(/\d/)
  dashboard.station.silence(true)
  await page.getByRole('heading', { level: 1, name: 'No lines' }).waitFor()
  const silent = await digits.allInnerTexts()
  const age = await page.locator('channel-figures .age').first().textContent()
  const links = await page.locator('status-line ul').textContent()
  dashboard.station.silence(false)
  await page.getByRole('heading', { level: 1, name: 'Measuring' }).waitFor()
  await expect.poll(() => digits.first().textContent(), eventually).toMatch(/\d/)
  await close()
  expect(silent.every((text) => text === dashes)).toBe(true)
  expect(age).toMatch(/^\d+ s old$/)
  expect(links).toMatch(/Page: linked, live/)
  expect(links).toMatch(/Instrument: last line \d+ s ago, silent/)
})

test('a line that stays open but carries nothing does not look live, and is opened anew', async () => {
  const { page, close } = await dashboard.opened()
  const frozen = dashboard.station.viewers().at(-1)
  dashboard.station.freeze(true)
  await page.locator('channel-figures[stale]').first().waitFor()
  await page.getByRole('heading', { level: 1, name: 'Out of touch' }).waitFor()
  // The page gives the dead line up by itself; the one that it opens then is not frozen.
  await page.getByRole('heading', { level: 1, name: 'Measuring' }).waitFor()
  const now = dashboard.station.viewers()
  await close()
  expect(now).not.toContain(frozen)
})

test('alarms of a station that is no longer heard are told as of its last word, and their time stands still', async () => {
  const alarm = condensateAlarm(dashboard.station.now() - 60_000)
  dashboard.station.setAlarm(alarm)
  const { page, close } = await dashboard.opened('#/alarms')
  await page.locator('standing-alarm').waitFor()
  const before = await page.getByText(/As last heard at/).count()
  dashboard.station.cut(true)
  await page.getByText(/As last heard at \d\d:\d\d:\d\d .*does not hear the station/).waitFor()
  const told = () => page.locator('standing-alarm p').first().textContent()
  const first = await told()
  // The link's own age goes on meanwhile.
  const age = () => page.locator('status-line ul').textContent()
  const firstAge = await age()
  await expect.poll(age, eventually).not.toBe(firstAge)
  const second = await told()
  await page.goto(`${dashboard.station.url}#/logbook`)
  await page
    .locator('alarm-banner')
    .getByText(/As last heard at/)
    .waitFor()
  dashboard.station.cut(false)
  await page.getByText('linked, live').waitFor()
  const after = await page.getByText(/As last heard at/).count()
  await close()
  dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
  expect([before, after, second]).toEqual([0, 0, first])
})

test('a page that was cut off says so, comes back by itself and asks again for the trends', async () => {
  const { page, close } = await dashboard.opened()
  dashboard.station.cut(true)
  await page.getByText(/no link to the station for/).waitFor()
  await page.getByRole('heading', { level: 1, name: 'Out of touch' }).waitFor()
  const links = await page.locator('status-line ul').textContent()
  const asked = page.waitForRequest(/\/series\?/)
  dashboard.station.cut(false)
  await asked
  await page.getByText('linked, live').waitFor()
  await close()
  expect(links).toMatch(/Recording: not known; last heard: stored up to/)
})

test('a hole in the numbers makes the page ask for a snapshot', async () => {
  const { page, close } = await dashboard.opened()
  const viewer = dashboard.station.viewers().at(-1)
  const told = new Promise<string>((resolve) => viewer?.socket.once('message', (bytes) => resolve(String(bytes))))
  viewer?.skip(3)
  const message = await told
  await page.getByText('linked, live').waitFor()
  await close()
  expect(JSON.parse(message)).toMatchObject({ type: 'resync' })
})

test('a message that cannot be read asks for a reload and leaves the rest standing', async () => {
  const { page, close } = await dashboard.opened()
  dashboard.station.viewers()[0]?.write({ type: 'something-new', sequence: 99 })
  await page.getByText('This page is older than the server').waitFor()
  const digits = await page.locator('channel-figures .digits').first().textContent()
  await close()
  expect(digits).toMatch(/\d/)
})

test('a hidden page draws nothing, takes everything in, and is right with one draw on return', async () => {
  const { page, close } = await dashboard.opened()
  const show = (hidden: boolean) =>
    page.evaluate((isHidden) => {
      Object.defineProperty(document, 'hidden', { configurable: true, get: () => isHidden })
      document.dispatchEvent(new Event('visibilitychange'))
    }, hidden)
  await show(true)
  const clock = page.locator('top-bar .clock')
  const before = await clock.textContent()
  const entry = {
    atMs: dashboard.station.now(),
    kind: 'note' as const,
    text: 'told while hidden',
    by: 'M. Example',
    savedMs: null,
    severity: 'plain' as const,
  }
  dashboard.station.log(entry)
  const viewer = dashboard.station.viewers().at(-1)
  const told = viewer?.sent ?? Number.NaN
  await expect.poll(() => taken(page), eventually).toBeGreaterThan(told + 5)
  const during = await clock.textContent()
  await show(false)
  await expect.poll(() => clock.textContent(), eventually).not.toBe(before)
  const stale = await page.locator('channel-figures[stale]').count()
  await page.keyboard.press('4')
  await page.getByText('told while hidden').waitFor()
  await close()
  expect(during).toBe(before)
  expect(stale).toBe(0)
})

test('a browser whose clock is ten minutes off shows the age of the last line rightly', async () => {
  const watched = await watchedPage(dashboard.browser, dashboard.station.url)
  await watched.page.addInitScript(() => {
    const real = Date.now
    Date.now = () => real() + 600_000
  })
  await watched.page.goto(dashboard.station.url)
  await watched.page.getByText('last line just now').waitFor()
  const stale = await watched.page.locator('channel-figures[stale]').count()
  await watched.close()
  expect(stale).toBe(0)
})

test('twelve hours of readings leave the page’s memory flat', async () => {
  const { page, close } = await dashboard.opened()
  const protocol = await page.context().newCDPSession(page)
  const heapBytes = async () => {
    await protocol.send('HeapProfiler.collectGarbage')
    return (await protocol.send('Runtime.getHeapUsage')).usedSize
  }
  const begin = Math.ceil(dashboard.station.now() / 1000) * 1000
  const viewer = dashboard.station.viewers().at(-1)
  const send = async (fromSecond: number, toSecond: number) => {
    for (let second = fromSecond; second < toSecond; second++) {
      const reading = readingAt(begin + second * 1000)
      if (reading) dashboard.station.tellAll({ type: 'reading', reading, lines: second })
      // Lets the socket drain, as a real night would.
      if (second % 200 === 0) await new Promise((resolve) => setImmediate(resolve))
    }
    await expect.poll(() => taken(page), eventually).toBeGreaterThanOrEqual(viewer?.sent ?? Number.NaN)
  }
  await send(0, 6000)
  const early = await heapBytes()
  await send(6000, 43_200)
  const late = await heapBytes()
  await close()
  expect(late - early).toBeLessThan(4_000_000)
})
