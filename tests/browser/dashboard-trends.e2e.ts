import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { breaches, eventually } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'

const dashboard = aDashboard()

const stretch = (page: Page) => {
  const asked = new URLSearchParams(new URL(page.url()).hash.split('?')[1])
  return { from: Number(asked.get('from')), to: Number(asked.get('to')) }
}
const minutes = ({ from, to }: { from: number; to: number }) => (to - from) / 60_000
const placeOf = async (page: Page, index = 1) => {
  const strip = page.locator('trend-strip').nth(index)
  await strip.scrollIntoViewIfNeeded()
  const box = await strip.boundingBox()
  if (!box) throw new Error('the chart has no size')
  return box
}

test('charts ask for as many columns as they are wide, whatever width was told while the page was put together', async () => {
  const { page, errors, close } = await dashboard.opened()
  const widths = () =>
    page
      .locator('watch-view')
      .evaluate((view: HTMLElement & { session: { trendPixels: number } }) => [
        view.session.trendPixels,
        view.shadowRoot?.querySelector('trend-strip')?.shadowRoot?.querySelector('.u-over')?.clientWidth,
      ])
  await page.locator('watch-view trend-strip canvas').first().waitFor()
  const [asked = 0] = await widths()
  expect(asked).toBeGreaterThan(500)
  await page
    .locator('watch-view')
    .evaluate((view) => view.dispatchEvent(new CustomEvent('trend-width', { detail: 46 })))
  await expect.poll(async () => (await widths())[0], eventually).toBe(asked)
  expect((await widths())[1]).toBe(asked)
  await close()
  expect(errors).toEqual([])
})

test('the wheel scrolls the page over a chart, and zooms about the pointer once the chart was clicked; back undoes the whole gesture', async () => {
  const { page, errors, close } = await dashboard.opened()
  const box = await placeOf(page)
  await page.mouse.move(box.x + box.width / 2, box.y + 50)
  await page.mouse.wheel(0, 60)
  await expect.poll(() => page.evaluate(() => scrollY), eventually).toBeGreaterThan(0)
  const untouched = page.url()
  const again = await placeOf(page)
  const at = again.x + 54 + (again.width - 64) / 2
  await page.mouse.click(at, again.y + 50)
  // In one go, as a hand turns it: on a busy machine the browser driver may need a second for each.
  await page
    .locator('trend-strip .chart')
    .nth(1)
    .evaluate((chart, clientX) => {
      for (let turn = 0; turn < 3; turn++)
        chart.dispatchEvent(new WheelEvent('wheel', { deltaY: -100, clientX, bubbles: true, cancelable: true }))
    }, at)
  await page.waitForURL(/from=\d+&to=\d+/)
  await expect.poll(() => minutes(stretch(page)), eventually).toBeLessThan(70)
  const zoomed = stretch(page)
  await page.goBack()
  await page.getByRole('button', { name: 'Now', pressed: true }).waitFor()
  await close()
  expect(untouched).not.toMatch(/from=/)
  // Three turns by 1.25: 120 min become 61; the middle stays where it was, within a pixel or two.
  expect(minutes(zoomed)).toBeCloseTo(121.2 / 1.25 ** 3, 0)
  expect(Math.abs((zoomed.from + zoomed.to) / 2 - (dashboard.station.now() - 59.4 * 60_000))).toBeLessThan(120_000)
  expect(errors).toEqual([])
})

test('two fingers zoom and one finger sideways moves, while up and down goes on scrolling', async () => {
  const { page, close } = await dashboard.opened('', { hasTouch: true, viewport: { width: 390, height: 844 } })
  let box = await placeOf(page)
  const session = await page.context().newCDPSession(page)
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...xs: number[]) =>
    session.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: xs.map((x, id) => ({ x: box.x + x, y: box.y + 50, id })),
    })
  await touch('touchStart', 150, 250)
  await touch('touchMove', 130, 270)
  await touch('touchMove', 100, 300)
  await touch('touchEnd')
  await page.waitForURL(/from=\d+&to=\d+/)
  await expect.poll(() => minutes(stretch(page)), eventually).toBeLessThan(65)
  const pinched = stretch(page)
  // What stands above the charts may have grown by a line.
  box = await placeOf(page)
  await touch('touchStart', 100)
  await touch('touchMove', 160)
  await touch('touchMove', 220)
  await touch('touchEnd')
  await expect.poll(() => stretch(page).from, eventually).toBeLessThan(pinched.from)
  const moved = stretch(page)
  await close()
  // From 100 to 200 pixels apart: half the time is shown.
  expect(minutes(pinched)).toBeCloseTo(60.6, 0)
  expect(minutes(moved)).toBeCloseTo(minutes(pinched), 5)
})

test('a flag opens what the logbook holds of that time, by keyboard, and leads to its stretch', async () => {
  const { page, errors, close } = await dashboard.opened('#/watch?window=run')
  const flag = page.getByRole('button', { name: /2 entries from 01:47:03/ })
  await flag.waitFor()
  const box = await flag.boundingBox()
  await flag.focus()
  await page.keyboard.press('Enter')
  await page.getByRole('dialog').getByText('Lines come again; gap of 9 min 30 s').waitFor()
  const found = await breaches(page)
  await page.getByRole('button', { name: 'Only this' }).last().click()
  await page.waitForURL(/from=\d+&to=\d+/)
  const shown = stretch(page)
  await close()
  expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(48)
  expect(shown.from).toBeLessThan(Date.parse('2026-11-25T00:47:03Z'))
  expect(shown.to).toBeGreaterThan(Date.parse('2026-11-25T00:56:30Z'))
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('a chart is read as a table: extremes of each step, the block mean, phases in words, and a gap as a gap', async () => {
  const gap = [Date.parse('2026-11-25T00:40:00Z'), Date.parse('2026-11-25T01:10:00Z')]
  const { page, close } = await dashboard.opened(`#/watch?from=${gap[0]}&to=${gap[1]}`)
  const loaded = page.locator('phase-ribbon')
  await loaded.getByText('No lines').waitFor()
  await page.getByRole('button', { name: 'CO: figures of the chart as a table' }).press('Enter')
  const table = page.getByRole('dialog').getByRole('table')
  const rows = await table.locator('tbody tr').allInnerTexts()
  const found = await breaches(page)
  await page.getByRole('button', { name: 'Copy as a table' }).click()
  await page.getByText('Copied: paste it into a spreadsheet').waitFor()
  await page.keyboard.press('Escape')
  await close()
  // 30 minutes in steps of 30 s.
  expect(rows).toHaveLength(60)
  expect(rows.find((row) => row.startsWith('01:50:00'))).toMatch(/^01:50:00\s+–\s+–.*No lines$/)
  expect(rows[0]).toMatch(/^01:40:00\s+\d+\s+\d+\s+\d+.*Measuring$/)
  expect(found).toEqual([])
})

/** The room of an axis with its unit, 60 px, less that of an edge without one, 10 px; the ribbon above keeps to the same. */
const axisInPlaceOfEdge = 50

test('another channel is laid over every chart with an axis of its own at the right', async () => {
  const { page, errors, close } = await dashboard.opened()
  const plotted = () =>
    page.evaluate(() => {
      const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view')?.shadowRoot
      return [...(view?.querySelectorAll('trend-strip') ?? [])].map((strip) => [
        strip.shadowRoot?.querySelectorAll('.u-axis').length ?? 0,
        Math.round(strip.shadowRoot?.querySelector('.u-over')?.clientWidth ?? 0),
      ])
    })
  const before = await plotted()
  await page.getByLabel('Laid over').selectOption('o2')
  await expect
    .poll(async () => (await plotted()).map(([axes]) => axes), eventually)
    .toEqual(before.map(([axes]) => (axes ?? 0) + 1))
  const after = await plotted()
  const box = await placeOf(page)
  await page.mouse.move(box.x + 300, box.y + 40)
  await page
    .locator('trend-strip .cursor')
    .nth(1)
    .getByText(/O₂ \d+\.\d\d %/)
    .waitFor()
  await page.getByLabel('Laid over').selectOption('')
  await expect.poll(plotted, eventually).toEqual(before)
  await close()
  expect(after.every(([, width], index) => width === (before[index]?.[1] ?? 0) - axisInPlaceOfEdge)).toBe(true)
  expect(errors).toEqual([])
})

test('a stretch is chosen by its times, in the station’s zone, and an end before the start is refused in words', async () => {
  const { page, close } = await dashboard.opened()
  await page.getByRole('button', { name: 'From … to' }).click()
  const dialog = page.getByRole('dialog', { name: 'Choose the stretch' })
  await dialog.locator('[name=from]').fill('2026-11-25T02:00')
  await dialog.locator('[name=to]').fill('2026-11-25T01:00')
  await dialog.getByRole('button', { name: 'Show it' }).click()
  await dialog.getByRole('alert').waitFor()
  const found = await breaches(page)
  await dialog.locator('[name=to]').fill('2026-11-25T03:00')
  await page.keyboard.press('Enter')
  await page.waitForURL(/from=\d+&to=\d+/)
  const shown = stretch(page)
  await close()
  expect(shown).toEqual({ from: Date.parse('2026-11-25T01:00:00Z'), to: Date.parse('2026-11-25T02:00:00Z') })
  expect(found).toEqual([])
})

test('what lies before the page was told comes folded: the same flags, as many entries, opened by keyboard', async () => {
  const { page, errors, close } = await dashboard.opened('#/watch?window=run')
  const asked: URL[] = []
  page.on('request', (request) => asked.push(new URL(request.url())))
  const flags = page.locator('flag-row .flag')
  const counts = async (): Promise<number[]> => {
    const labels = await flags.evaluateAll((all) => all.map((flag) => flag.getAttribute('aria-label') ?? ''))
    return labels.map((label) => Number(/^(\d+) entries/.exec(label)?.[1] ?? 1))
  }
  await flags.first().waitFor()
  const told = await counts()
  // The page gives up all but its newest entry, as it does in a long run.
  await page.evaluate(() => {
    const { session } = document.querySelector('flue-app') as unknown as {
      session: { state: { station: object & { logbook: unknown[] } }; redraw(): void }
    }
    const { station } = session.state
    session.state = { ...session.state, station: { ...station, logbook: station.logbook.slice(-1) } }
    session.redraw()
  })
  const isFolded = ({ pathname, searchParams }: URL) =>
    pathname.endsWith('/marks') && Number(searchParams.get('flagsTo')) > Number(searchParams.get('from'))
  await expect.poll(() => asked.some(isFolded), eventually).toBe(true)
  await expect.poll(counts, eventually).toEqual(told)
  const several = told.findIndex((count) => count > 1)
  await flags.nth(several).focus()
  await page.keyboard.press('Enter')
  await expect.poll(() => page.locator('flag-row dialog li').count(), eventually).toBe(told[several])
  const found = await breaches(page)
  await close()
  const pages = asked.filter(({ pathname }) => pathname.endsWith('/logbook'))
  expect(pages.length).toBeGreaterThan(0)
  expect(pages.every(({ searchParams }) => searchParams.has('most'))).toBe(true)
  expect(found).toEqual([])
  expect(errors).toEqual([])
})
