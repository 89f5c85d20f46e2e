import { expect, test } from 'vitest'
import { watchedPage } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'

const dashboard = aDashboard()

test.each([
  ['the figures of a chart', 'trend-table dialog[open]', /figures of the chart as a table/],
  ['a stretch of time', 'stretch-dialog dialog[open]', 'From … to'],
  ['a note', 'signed-dialog dialog[open]', /^Note/],
] as const)(
  'what is asked for before the rest of the page has come opens once it has: %s',
  async (_, dialog, button) => {
    const { page, errors, close } = await watchedPage(dashboard.browser, dashboard.station.url.slice(0, -1))
    let isAsked = false
    let letCome = (): void => {}
    const mayCome = new Promise<void>((resolve) => {
      letCome = resolve
    })
    await page.route('**/later-piece*', async (route) => {
      isAsked = true
      await mayCome
      await route.continue()
    })
    await page.goto(`${dashboard.station.url}#/watch`)
    await page.getByRole('button', { name: button }).first().press('Enter')
    await expect.poll(() => isAsked).toBe(true)
    expect(await page.locator(dialog).count()).toBe(0)
    letCome()
    await page.locator(dialog).waitFor()
    await close()
    expect(errors).toEqual([])
  },
)

test('a replay that is left before it has come leaves no fault behind', async () => {
  const { page, errors, close } = await watchedPage(dashboard.browser, dashboard.station.url.slice(0, -1))
  await page.goto(`${dashboard.station.url}#/watch`)
  await page.locator('channel-figures').first().waitFor()
  for (let turn = 0; turn < 5; turn++)
    await page.evaluate(async () => {
      location.hash = '#/watch?replay=night-23-november'
      await new Promise((heard) => addEventListener('hashchange', heard, { once: true }))
      location.hash = '#/watch'
      await new Promise((heard) => addEventListener('hashchange', heard, { once: true }))
    })
  await page.locator('channel-figures').first().waitFor()
  await close()
  expect(errors).toEqual([])
})
