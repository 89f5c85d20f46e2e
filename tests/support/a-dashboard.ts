import type { Browser, BrowserContextOptions, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll } from 'vitest'
import { aBrowser, breaches, watchedPage } from './a-browser.ts'
import { builtPage } from './built-page.ts'
import { type FixtureStation, fixtureStation } from './fixture-live.ts'

/** Chromium, the page as it is in the tree and an invented station, for the tests of one file; all are closed after it. `flags`: more for the browser's command line. */
export function aDashboard(...flags: string[]) {
  let browser: Browser
  let station: FixtureStation
  beforeAll(async () => {
    browser = await aBrowser(...flags)
    station = await fixtureStation({ web: builtPage() })
  })
  afterAll(async () => {
    await station?.close()
    await browser?.close()
  })
  return {
    get browser() {
      return browser
    },
    get web() {
      return builtPage()
    },
    get station() {
      return station
    },
    /** A page at an address of the dashboard, once its view stands. `base`: the station under another name. */
    async opened(hash = '', options: BrowserContextOptions = {}, base: string = station.url) {
      const watched = await watchedPage(browser, base.slice(0, -1), options)
      await watched.page.goto(`${base}${hash}`)
      await standing(watched.page).first().waitFor()
      return watched
    },
  }
}

/** What tells that a view has drawn what the station said. */
const standing = (page: Page): Locator =>
  page.locator(
    'channel-figures, averages-table tbody tr, logbook-view li, alarms-view standing-alarm, alarms-view .journal li, recordings-view li, far-view h1',
  )

/** Signs the open dialog with a name and, where one is given, a note, and sends it. */
export async function sign(page: Page, by: string, note?: string): Promise<void> {
  const dialog = page.locator('signed-dialog dialog')
  await dialog.waitFor()
  if (note !== undefined) await dialog.locator('[name=note]').fill(note)
  await dialog.locator('[name=by]').fill(by)
  await dialog.locator('button[type=submit]').click()
  await dialog.waitFor({ state: 'hidden' })
}

/** Breaches of WCAG and sideways scrolling at the three widths that the screens are made for. */
export async function atThreeWidths(page: Page): Promise<string[]> {
  const found: string[] = []
  for (const [width, height] of [
    [1440, 900],
    [1024, 768],
    [390, 844],
  ] as const) {
    await page.setViewportSize({ width, height })
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > document.documentElement.clientWidth)
    if (wide) found.push(`${width}: scrolls sideways`)
    found.push(...(await breaches(page)).map((breach) => `${width}: ${breach}`))
  }
  return found
}
