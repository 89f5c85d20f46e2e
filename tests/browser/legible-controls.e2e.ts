import { expect, test } from 'vitest'
import { watchedPage } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'
import { condensateAlarm, limitAlarm } from '../support/fixture-live/happenings.ts'
import { illegible } from '../support/legible.ts'

const dashboard = aDashboard()

/** Each view, and what tells that it stands. */
const views = {
  watch: ['#/watch', 'watch-view trend-strip canvas'],
  'watch, held still': ['#/watch?from=1795569600000&to=1795573200000', 'watch-view trend-strip canvas'],
  averages: ['#/averages', 'averages-table tr:nth-child(9)'],
  alarms: ['#/alarms', 'standing-alarm'],
  logbook: ['#/logbook', 'logbook-view li'],
  recordings: ['#/recordings', 'recordings-view li'],
  calculations: ['#/calculations', 'calculations-view a'],
  'set-up': ['#/set-up', 'set-up-view p'],
  far: ['#/watch?far=1', 'far-view h1'],
  replay: ['#/watch?replay=night-23-november', 'replay-bar input'],
} as const

test.each([390, 1024, 1440])('at %i px no control cuts its text, and all can be pressed in gloves', async (width) => {
  const alarms = [condensateAlarm(dashboard.station.now() - 43_000), limitAlarm(dashboard.station.now() - 120_000)]
  for (const alarm of alarms) dashboard.station.setAlarm(alarm)
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url, {
    viewport: { width, height: 900 },
  })
  const found: Record<string, string[]> = {}
  for (const [view, [place, landmark]] of Object.entries(views)) {
    await page.goto(`${dashboard.station.url}${place}`)
    await page.locator(landmark).first().waitFor()
    found[view] = await illegible(page)
  }
  await close()
  for (const alarm of alarms) dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
  expect(found).toEqual(Object.fromEntries(Object.keys(views).map((view) => [view, []])))
})

test('with text at twice its size a phone scrolls no view sideways, and no control cuts its text', async () => {
  dashboard.station.setAlarm(condensateAlarm(dashboard.station.now() - 43_000))
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url, {
    viewport: { width: 390, height: 844 },
  })
  const found: Record<string, string[]> = {}
  for (const [view, [place, landmark]] of Object.entries(views)) {
    await page.goto(`${dashboard.station.url}${place}`)
    await page.locator(landmark).first().waitFor()
    // What a browser's own setting for the size of text does.
    await page.evaluate(() => {
      document.documentElement.style.fontSize = '200%'
    })
    const isWide = await page.evaluate(
      () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
    )
    found[view] = [...(isWide ? ['scrolls sideways'] : []), ...(await illegible(page))]
  }
  await close()
  for (const alarm of dashboard.station.alarms())
    dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
  expect(found).toEqual(Object.fromEntries(Object.keys(views).map((view) => [view, []])))
})

test('while a screen is turned from wide to narrow, nothing of the wide one makes the page scroll sideways', async () => {
  const { page, close } = await dashboard.opened('#/watch?replay=night-23-november')
  let widest = 0
  for (let turn = 0; turn < 5; turn++) {
    await page.setViewportSize({ width: 1440, height: 900 })
    await page.goto(`${dashboard.station.url}#/watch?replay=night-23-november`)
    await page.locator('watch-view flag-row .flag').first().waitFor()
    // The charts of the wide screen stand once their frame is drawn.
    await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))))
    const measured = page.evaluate(
      () =>
        new Promise<number>((resolve) => {
          const { documentElement } = document
          let most = 0
          let frames = 0
          const look = (): void => {
            if (innerWidth < 500) {
              frames++
              most = Math.max(most, documentElement.scrollWidth - documentElement.clientWidth)
            }
            if (frames < 20) requestAnimationFrame(look)
            else resolve(most)
          }
          look()
        }),
    )
    await page.setViewportSize({ width: 390, height: 844 })
    widest = Math.max(widest, await measured)
  }
  await close()
  expect(widest).toBe(0)
})

test('the search finds a list that is too narrow for its choices, and a button that is too low', async () => {
  const { page, close } = await dashboard.opened('#/averages')
  await page
    .locator('averages-view select')
    .first()
    .evaluate((select) => {
      select.style.maxWidth = '90px'
    })
  await page.getByRole('button', { name: 'Copy as a table' }).evaluate((button) => {
    button.style.minHeight = '30px'
  })
  const found = await illegible(page)
  await close()
  expect(found).toEqual([
    expect.stringMatching(/select .*: its widest choice needs/),
    expect.stringMatching(/button “Copy as a table”: \d+ × \d+ px/),
  ])
})
