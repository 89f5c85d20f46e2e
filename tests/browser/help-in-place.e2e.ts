import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { aBrowser, breaches, eventually, nameInNetwork, watchedPage } from '../support/a-browser.ts'
import { builtPage } from '../support/built-page.ts'
import { type FixtureStation, fixtureStation } from '../support/fixture-live.ts'

let browser: Browser
let station: FixtureStation
beforeAll(async () => {
  browser = await aBrowser()
  station = await fixtureStation({ web: builtPage() })
})
afterAll(async () => {
  await station?.close()
  await browser?.close()
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

describe('this screen', () => {
  test('is kept lit on request, and let go again', async () => {
    const { page, close } = await watchedPage(browser, station.url)
    await page.goto(station.url)
    await page.locator('channel-figures').first().waitFor()
    await page.keyboard.press('?')
    const lit = page.getByRole('button', { name: 'Keep this screen lit' })
    await lit.press('Enter')
    await expect.poll(() => lit.getAttribute('aria-pressed'), eventually).toBe('true')
    await lit.press('Enter')
    await expect.poll(() => lit.getAttribute('aria-pressed'), eventually).toBe('false')
    await close()
  })

  test('says so where the line is not encrypted and the browser therefore keeps no screen lit', async () => {
    const origin = `http://${nameInNetwork}:${new URL(station.url).port}`
    const { page, close } = await watchedPage(browser, origin)
    await page.goto(`${origin}/`)
    await page.locator('channel-figures').first().waitFor()
    await page.keyboard.press('?')
    await page.getByText('does not let a page keep the screen lit').waitFor()
    await close()
  })

  test.each([
    ['dark', 'chosen'],
    ['light', 'chosen'],
    ['light', 'asked for by the system'],
  ] as const)('in the %s scheme has text of 7 to 1 in high contrast, %s', async (colorScheme, how) => {
    const { page, close } = await watchedPage(browser, station.url, {
      colorScheme,
      ...(how === 'chosen' ? {} : { contrast: 'more' as const }),
    })
    await page.goto(station.url)
    await page.locator('channel-figures').first().waitFor()
    if (how === 'chosen') {
      await page.keyboard.press('?')
      await page.getByRole('button', { name: 'high contrast' }).press('Enter')
      await page.keyboard.press('Escape')
    }
    // The stricter rule leaves what fails the plain one to it.
    const contrast = ['color-contrast', 'color-contrast-enhanced']
    const found = await breaches(page, contrast)
    await page.evaluate(() => document.documentElement.style.setProperty('--ink-soft', '#777777'))
    const foundWhereGrey = await breaches(page, contrast)
    await close()
    expect({ found, seesGrey: foundWhereGrey.length > 0 }).toEqual({ found: [], seesGrey: true })
  })

  test('prints light, without buttons', async () => {
    const { page, close } = await watchedPage(browser, station.url, { colorScheme: 'dark' })
    await page.goto(`${station.url}#/averages`)
    await page.locator('averages-table tr:nth-child(9)').waitFor()
    await page.emulateMedia({ media: 'print' })
    const background = await page.evaluate(() => getComputedStyle(document.body).backgroundColor)
    const buttons = await page.getByRole('button').count()
    const rows = await page.locator('averages-table tr').count()
    await close()
    expect({ background, buttons, hasRows: rows > 8 }).toEqual({
      background: 'rgb(242, 243, 241)',
      buttons: 0,
      hasRows: true,
    })
  })
})
