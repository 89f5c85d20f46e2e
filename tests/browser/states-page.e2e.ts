import { rmSync } from 'node:fs'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, rulesOfLooks, watchedPage } from '../support/a-browser.ts'
import { buildPages, builtPage } from '../support/built-page.ts'
import { type FixtureStation, fixtureStation } from '../support/fixture-live.ts'

let browser: Browser
let web: string
let served: FixtureStation
beforeAll(async () => {
  ;[browser, web] = await Promise.all([aBrowser(), buildPages(['states.html'])])
  served = await fixtureStation({ web })
})
afterAll(async () => {
  await served?.close()
  await browser?.close()
  if (web) rmSync(web, { recursive: true, force: true })
})

const firstLook = 'light, as the system'

test.each([
  ['light', 'as the system'],
  ['dark', 'as the system'],
  ['light', 'high contrast'],
  ['dark', 'high contrast'],
] as const)('in a %s scheme, %s, every state of every component is legible', async (colorScheme, look) => {
  const { page, errors, foreign, close } = await watchedPage(browser, served.url.slice(0, -1), { colorScheme })
  await page.goto(`${served.url}states.html`)
  await page.locator('header').first().getByRole('button', { name: look, exact: true }).click()
  await page.locator('trend-strip canvas').last().waitFor()
  const undrawn = await page
    .locator('figure')
    .evaluateAll((figures) =>
      figures.filter(({ lastElementChild: component }) => !component?.shadowRoot).map((figure) => figure.textContent),
    )
  const states = await page.locator('figure').count()
  const kinds = await page
    .locator('figure > :last-child')
    .evaluateAll((components) => [...new Set(components.map(({ localName }) => localName))].sort())
  const refused = await page.getByText('17 refused (broken encoding, out of order)').count()
  const closed = await page.locator('signed-dialog dialog:not([open]), help-sheet dialog:not([open])').count()
  const found = await breaches(page, `${colorScheme}, ${look}` === firstLook ? [] : rulesOfLooks)
  await close()
  expect(refused).toBe(1)
  expect(kinds).toEqual([
    'alarm-banner',
    'alarms-view',
    'amendments-list',
    'average-details',
    'averages-table',
    'averages-view',
    'block-panel',
    'calculation-sheet',
    'calculations-view',
    'channel-figures',
    'coverage-bar',
    'far-view',
    'handled-set-up',
    'help-sheet',
    'logbook-view',
    'no-instrument',
    'phase-hero',
    'phase-ribbon',
    'replay-bar',
    'run-panel',
    'signed-dialog',
    'standing-alarm',
    'status-line',
    'stretch-dialog',
    'supporting-row',
    'test-of-runs',
    'told-recordings',
    'top-bar',
    'trend-bar',
    'trend-strip',
    'trend-table',
    'watch-view',
  ])
  expect(states).toBeGreaterThan(184)
  expect(closed).toBe(0)
  expect({ undrawn, found, errors, foreign }).toEqual({ undrawn: [], found: [], errors: [], foreign: [] })
})

test('the dashboard that is built for users holds no page of states', async () => {
  const plain = await fixtureStation({ web: builtPage() })
  const answer = await fetch(`${plain.url}states.html`)
  await plain.close()
  expect(answer.status).toBe(404)
})
