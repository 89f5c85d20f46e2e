import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, eventually, rulesOfLooks, watchedPage } from '../support/a-browser.ts'
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

const widths = [
  { width: 1440, height: 900 },
  { width: 1024, height: 768 },
  { width: 390, height: 844 },
]
const places = {
  '#/calculations': 'calculations-view nav a',
  '#/calculations?calculation=dry-flow': 'calculation-sheet output',
  '#/calculations?calculation=counted-mean': 'calculation-sheet output',
}
const result = (page: Page) => page.locator('calculation-sheet output')
const shows = (page: Page, text: string) =>
  page.locator('calculation-sheet output', { hasText: text }).waitFor(eventually)

test.each(Object.entries(places))(
  'list and calculation have no breach of WCAG 2.2 AA, no error and no sideways scrolling: %s',
  async (hash, landmark) => {
    const { page, errors, foreign, close } = await watchedPage(browser, station.url.slice(0, -1))
    const found: unknown[] = []
    await page.goto(`${station.url}${hash}`)
    for (const size of widths)
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.setViewportSize(size)
        await page.emulateMedia({ colorScheme })
        await page.locator(landmark).first().waitFor(eventually)
        await page.locator('top-bar .marks').getByText('Invented data').waitFor(eventually)
        const isWide = await page.evaluate(
          () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
        )
        found.push(
          ...(await breaches(page, colorScheme === 'light' ? [] : rulesOfLooks)),
          ...(isWide ? [`${colorScheme}: scrolls sideways at ${size.width}`] : []),
        )
      }
    await close()
    expect({ found, errors, foreign }).toEqual({ found: [], errors: [], foreign: [] })
  },
)

// EU-1: Directive 2010/75/EU, Annex VI, Part 7: 150 mg/m3 at 5.2 % are 170.886 at 3 %; at 3 % measured they stay 150.
test('by the keyboard alone a calculation is found, worked as it is typed, and told what is wrong', async () => {
  const { page, errors, close } = await watchedPage(browser, station.url)
  await page.goto(station.url)
  await page.locator('watch-view phase-hero').waitFor(eventually)
  await page.getByRole('navigation', { name: 'Views' }).getByRole('link', { name: 'Calculations' }).focus()
  await page.keyboard.press('Enter')
  await page.locator('calculations-view nav a').first().waitFor(eventually)
  await page.getByLabel('Search').focus()
  await page.keyboard.type('oxygen limit names')
  await page.getByText(/^1 of \d+$/).waitFor(eventually)
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await shows(page, '170.8861')
  await page.getByRole('heading', { name: 'reference-oxygen' }).and(page.locator(':focus')).waitFor(eventually)
  for (const _ of ['concentration', 'its unit', 'oxygen']) await page.keyboard.press('Tab')
  await page.locator('#oxygen:focus').waitFor(eventually)
  await page.keyboard.press('Control+a')
  await page.keyboard.type('3')
  await shows(page, '150')
  await page.keyboard.press('Control+a')
  await page.keyboard.type('3,5')
  await page.locator('calculation-sheet #oxygen[aria-invalid=true]').waitFor(eventually)
  const fault = await page.locator('calculation-sheet .fault').allInnerTexts()
  const shown = await result(page).textContent()
  await close()
  // A refusal is an answer of the station, which browsers log.
  expect(errors.filter((text) => !/400/.test(text))).toEqual([])
  expect([shown, fault]).toEqual(['–', [expect.stringContaining('write a decimal point')]])
})

test('a unit of one concentration is that of all, and the result can be had in another', async () => {
  const { page, close } = await watchedPage(browser, station.url)
  await page.goto(`${station.url}#/calculations?calculation=compliance-less-uncertainty`)
  await shows(page, 'compliant')
  await page.getByLabel('Unit of value').selectOption('ppm')
  const units = await page
    .locator('calculation-sheet select')
    .evaluateAll((all) => all.map((one) => (one as HTMLSelectElement).value))
  await page.goto(`${station.url}#/calculations?calculation=saturation-pressure`)
  await shows(page, '3.536589')
  await page.getByLabel('Unit of the result').selectOption('Pa')
  await shows(page, '3536.589')
  await close()
  expect(units).toEqual(['ppm', 'ppm', 'ppm'])
})

test('on a phone the help sheet leads there, the list gives way to the calculation, and back returns', async () => {
  const { page, close } = await watchedPage(browser, station.url, { viewport: { width: 390, height: 844 } })
  await page.goto(station.url)
  await page.locator('watch-view phase-hero').waitFor(eventually)
  await page.waitForFunction(() => customElements.get('calculations-view') !== undefined)
  const asked: string[] = []
  page.on('request', (request) => asked.push(new URL(request.url()).pathname))
  await page.getByRole('button', { name: /Help/ }).click()
  await page.getByRole('link', { name: 'Calculations' }).click()
  await page.getByRole('link', { name: /^air-ratio/ }).click()
  await shows(page, '1.25')
  const isListGone = !(await page.getByLabel('Search').isVisible())
  await page.goBack()
  await page.getByLabel('Search').waitFor(eventually)
  await close()
  expect(isListGone).toBe(true)
  // All script is here before it is opened: a station that is renewed meanwhile takes nothing away.
  expect(asked.filter((path) => path.endsWith('.js'))).toEqual([])
})
