import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { breaches, eventually } from '../support/a-browser.ts'
import { aDashboard, atThreeWidths } from '../support/a-dashboard.ts'
import { anAverage } from '../support/an-average.ts'

const vanName = 'van.test'
const dashboard = aDashboard(`--host-resolver-rules=MAP ${vanName} 127.0.0.1`)

const means = async (page: Page) =>
  (await page.locator('averages-table tbody .mean').allInnerTexts()).map((text) => Number(text))
/** What lies in the clipboard, by pasting it into a field of our own. */
const pasted = async (page: Page) => {
  await page.evaluate(() => document.body.append(document.createElement('textarea')))
  const field = page.locator('body > textarea')
  await field.focus()
  await page.keyboard.press('Control+V')
  return field.inputValue()
}

test('the table is ordered by any column, by keyboard, and says which way', async () => {
  const { page, close } = await dashboard.opened('#/averages')
  await page.getByLabel('Channel').selectOption('co')
  const heading = page.getByRole('columnheader', { name: 'Mean' })
  await heading.getByRole('button').focus()
  await page.keyboard.press('Enter')
  await expect.poll(() => heading.getAttribute('aria-sort'), eventually).toBe('descending')
  const down = await means(page)
  await page.keyboard.press('Enter')
  await expect.poll(() => heading.getAttribute('aria-sort'), eventually).toBe('ascending')
  const up = await means(page)
  await close()
  expect(down.length).toBeGreaterThan(8)
  expect(down).toEqual([...down].sort((one, other) => other - one))
  expect(up).toEqual([...down].reverse())
})

test('a row opens its reasons in words, by keyboard, and leads to its stretch on the chart', async () => {
  const { page, errors, close } = await dashboard.opened('#/averages')
  await page.getByLabel('Channel').selectOption('nox')
  await page.getByLabel('Validity').selectOption('invalid')
  // Until the valid ones are gone, what stands in a row is still another's; the one that runs stays.
  const others = page.locator('averages-table tbody tr:not(.invalid)')
  await expect.poll(() => others.count(), eventually).toBeLessThanOrEqual(1)
  await page.getByRole('button', { name: 'Details of NOₓ, 01:30–02:00 +01:00' }).focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'NOₓ, 30 minutes: 25 Nov 01:30–02:00 +01:00' })
  await dialog.waitFor()
  const reasons = await dialog.getByRole('list', { name: 'Reasons' }).locator('li').allInnerTexts()
  const found = await atThreeWidths(page)
  await dialog.getByRole('button', { name: 'Show on the trends' }).press('Enter')
  await page.waitForURL(/#\/watch\?from=1795566600000&to=1795568400000/)
  await page.locator('channel-figures').first().waitFor()
  await close()
  expect(reasons).toEqual([
    expect.stringMatching(/^Invalid: too little counted\. Purges, settling, faults and gaps take time away/),
    expect.stringMatching(/^Remark: gap in the lines\./),
  ])
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('over plain http under another name the table is copied too: tabs, every digit, the decimal mark of the reader’s language', async () => {
  const van = dashboard.station.url.replace('127.0.0.1', vanName)
  const { page, close } = await dashboard.opened('#/averages', { locale: 'de-DE' }, van)
  await page.getByLabel('Channel').selectOption('o2')
  await page.getByRole('button', { name: 'Copy as a table' }).click()
  await page.getByText(/^Copied: paste it into a spreadsheet/).waitFor()
  const text = await pasted(page)
  const csv = await page.getByRole('link', { name: 'CSV' }).getAttribute('href')
  await close()
  const [heading, first] = text.split(/\r?\n/).map((line) => line.split('\t'))
  expect(heading?.slice(0, 9)).toEqual([
    'Start',
    'End',
    'Average',
    'Channel',
    'Value',
    'Unit',
    'Basis',
    'Reference O₂, %',
    'Mean',
  ])
  expect(first?.[0]).toMatch(/^2026-11-25T04:[03]0:00\+01:00$/)
  expect(first?.[3]).toBe('O₂')
  expect(first?.[8]).toMatch(/^\d,\d{6,}$/)
  expect(csv).toBe('api/recordings/current/export?format=csv&decimal=%2C')
})

test('rolling averages are a table of their own, newest first', async () => {
  const { page, errors, close } = await dashboard.opened('#/averages')
  await page.locator('averages-view select').first().selectOption('PT4H')
  await page.getByText(/of the last 2 hours, or of the last 24 of one channel/).waitFor()
  await page.getByLabel('Channel').selectOption('nox')
  // Of one channel the last 24 hours: the invented night renews it each half-hour.
  await expect.poll(() => page.locator('averages-table tbody tr').count(), eventually).toBeGreaterThan(12)
  const times = await page.locator('averages-table tbody th').allInnerTexts()
  const found = await breaches(page)
  await close()
  expect(times[0]).toMatch(/^0[01]:\d\d–04:\d\d \+01:00/)
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('of blocks that come each minute the last hours are asked for, and the page says so', async () => {
  const { page, close } = await dashboard.opened('#/averages')
  const asked = page.waitForRequest((request) => request.url().includes('/blocks?') && request.url().includes('PT1M'))
  await page.locator('averages-view select').first().selectOption('PT1M')
  const from = Number(new URL((await asked).url()).searchParams.get('from'))
  await page.getByText(/of the last 2 hours, or of the last 24 of one channel/).waitFor()
  await page.locator('averages-view select').first().selectOption('PT30M')
  await page.getByText(/of the last 2 hours/).waitFor({ state: 'detached' })
  await close()
  expect(dashboard.station.now() - from).toBeLessThan(2.1 * 3_600_000)
})

test('the focus stays with its row when another comes above it', async () => {
  const { page, close } = await dashboard.opened('#/averages')
  await page.getByLabel('Channel').selectOption('co')
  const rows = page.locator('averages-table tbody tr')
  await expect.poll(() => rows.count(), eventually).toBeLessThan(30) // One row a half-hour, once CO alone is shown.
  await rows.filter({ hasText: '01:30–02:00' }).first().locator('button.mean').focus()
  const focused = () =>
    page.evaluate(() => {
      let at = document.activeElement
      while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement
      return [at?.className, at?.closest('tr')?.textContent?.match(/\d\d:\d\d–\d\d:\d\d/)?.[0]]
    })
  const before = await focused()
  const count = await rows.count()
  // One that begins in the midst of another lies between the two, as a newer one lies above all.
  const between = { startMs: Date.parse('2026-11-25T02:15:00Z'), endMs: Date.parse('2026-11-25T02:45:00Z') }
  const row = anAverage({ ...between, quantity: 'at_reference_oxygen', unit: 'mg/m3', referenceOxygen: 3 })
  dashboard.station.tellAll({ type: 'block', row })
  await expect.poll(() => rows.count(), eventually).toBe(count + 1)
  const after = await focused()
  await close()
  expect(before).toEqual(['mean', '01:30–02:00'])
  expect(after).toEqual(before)
})
