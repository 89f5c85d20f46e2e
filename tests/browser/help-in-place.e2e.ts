import { rmSync } from 'node:fs'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, builtPage, watchedPage } from '../support/a-browser.ts'
import { type FixtureStation, fixtureStation } from '../support/fixture-live.ts'

let browser: Browser
let web: string
let station: FixtureStation
beforeAll(async () => {
  ;[browser, web] = await Promise.all([aBrowser(), builtPage()])
  station = await fixtureStation({ web })
})
afterAll(async () => {
  await station?.close()
  await browser?.close()
  if (web) rmSync(web, { recursive: true, force: true })
})

test.each(['dark', 'light'] as const)(
  'a term is found by keyboard alone, with its meaning and its source (%s)',
  async (colorScheme) => {
    const { page, errors, foreign, close } = await watchedPage(browser, station.url, { colorScheme })
    await page.goto(station.url)
    await page.locator('channel-figures').first().waitFor()
    await page.keyboard.press('?')
    const terms = page.locator('terms-list')
    await terms.getByLabel('Find a term').focus()
    const found = await breaches(page)
    await page.keyboard.type('reference ox')
    await terms.getByText('(A − reference) / (A − measured)').waitFor()
    const shown = await terms.locator('dt').allTextContents()
    const source = await terms.locator('dd').first().textContent()
    await terms.getByLabel('Find a term').fill('no such word')
    await terms.getByText('No term fits').waitFor()
    await page.keyboard.press('Escape')
    await close()
    expect(shown).toContain('Reference oxygen')
    expect(source).toMatch(/2010\/75\/EU/)
    expect({ found, errors, foreign }).toEqual({ found: [], errors: [], foreign: [] })
  },
)
