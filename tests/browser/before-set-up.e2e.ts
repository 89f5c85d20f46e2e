import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, watchedPage } from '../support/a-browser.ts'
import { atThreeWidths } from '../support/a-dashboard.ts'
import { endAll, Running } from '../support/built-command.ts'
import { illegible } from '../support/legible.ts'

const folder = mkdtempSync(join(tmpdir(), 'before-set-up-'))
let browser: Browser
let address: string
beforeAll(async () => {
  browser = await aBrowser()
  address = await new Running('serve', '--data', folder, '--port', '0').address()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

test.each([
  ['watch', 'No instrument is set up yet: nothing is recorded.'],
  ['averages', 'No instrument is set up yet: nothing is recorded.'],
  ['logbook', 'No instrument is set up yet: nothing is recorded.'],
  ['alarms', 'what is raised will stand here'],
  ['recordings', 'Nothing has been recorded yet'],
])(
  'before an instrument is set up, %s says what is missing, asks for nothing and reports no fault',
  async (view, said) => {
    const { page, errors, foreign, close } = await watchedPage(browser, address)
    await page.goto(`${address}/#/${view}`)
    await page.locator('main').getByText(said).waitFor()
    const refusals = await page.getByRole('alert').filter({ visible: true, hasText: /\S/ }).allTextContents()
    const found = [...(await atThreeWidths(page)), ...(await illegible(page))]
    const notes = await page.getByRole('button', { name: /^Note|Write a note/ }).count()
    await close()
    expect({ refusals, found, notes, errors, foreign }).toEqual({
      refusals: [],
      found: [],
      notes: 0,
      errors: [],
      foreign: [],
    })
  },
)

test('a recording can be brought along before an instrument is set up', async () => {
  const { page, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/recordings`)
  const isThere = await page
    .getByLabel('Bring a recording along')
    .waitFor()
    .then(() => true)
  const way = await page.getByRole('link', { name: 'Set up an instrument' }).getAttribute('href')
  await close()
  expect([isThere, way]).toEqual([true, '#/set-up'])
})
