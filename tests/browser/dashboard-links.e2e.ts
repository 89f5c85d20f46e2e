import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { eventually } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'

const dashboard = aDashboard()

const choice = (page: Page, name: string) => page.getByRole('combobox', { name, exact: true })
const picked = (page: Page, name: string) => choice(page, name).inputValue()
const address = (page: Page) => page.evaluate(() => location.hash)

test('what the averages show is in the address: a link restores it, going back undoes it', async () => {
  const { page, errors, close } = await dashboard.opened('#/averages')
  await choice(page, 'Average').selectOption('PT1H')
  await choice(page, 'Channel').selectOption('co')
  await choice(page, 'Value').selectOption('at_reference_oxygen')
  await choice(page, 'Validity').selectOption('valid')
  const link = await address(page)
  await page.goBack()
  await expect.poll(() => picked(page, 'Validity'), eventually).toBe('all')
  await page.goBack()
  await expect.poll(() => picked(page, 'Value'), eventually).toBe('most-referred')
  const undone = await Promise.all(['Average', 'Channel'].map((label) => picked(page, label)))
  await close()

  const other = await dashboard.opened(link)
  const restored = await Promise.all(['Average', 'Channel', 'Value', 'Validity'].map((one) => picked(other.page, one)))
  const channels = await other.page.locator('averages-table tbody tr').allInnerTexts()
  await other.close()
  expect(link).toBe('#/averages?length=PT1H&channel=co&value=at_reference_oxygen&validity=valid')
  expect(undone).toEqual(['PT1H', 'co'])
  expect(restored).toEqual(['PT1H', 'co', 'at_reference_oxygen', 'valid'])
  expect(channels.length).toBeGreaterThan(2)
  expect(channels.every((row) => row.includes('CO') && !row.includes('NO'))).toBe(true)
  expect(errors.concat(other.errors)).toEqual([])
})

test('a link restores the stretch, the values and the channel laid over; going back takes them away', async () => {
  const { page, close } = await dashboard.opened('#/watch?window=run')
  await choice(page, 'Values').selectOption('asRead')
  await choice(page, 'Laid over').selectOption('o2')
  const link = await address(page)
  await page.goBack()
  await expect.poll(() => picked(page, 'Laid over'), eventually).toBe('')
  await page.goBack()
  await expect.poll(() => picked(page, 'Values'), eventually).toBe('limits')
  await close()

  const other = await dashboard.opened(link)
  await other.page.getByRole('button', { name: 'Whole run', pressed: true }).waitFor()
  const restored = await Promise.all(['Values', 'Laid over'].map((label) => picked(other.page, label)))
  await other.close()
  expect(link).toBe('#/watch?window=run&values=asRead&beside=o2')
  expect(restored).toEqual(['asRead', 'o2'])
})

test('a link restores the group of the logbook', async () => {
  const { page, close } = await dashboard.opened('#/logbook')
  await page.getByRole('button', { name: 'Alarms', exact: true }).click()
  await expect.poll(() => address(page), eventually).toBe('#/logbook?entries=alarm')
  await page.goBack()
  await page.getByRole('button', { name: 'All', exact: true, pressed: true }).waitFor()
  await page.goForward()
  await page.getByRole('button', { name: 'Alarms', exact: true, pressed: true }).waitFor()
  const kinds = await page.locator('logbook-view li .kind').allInnerTexts()
  await close()
  expect(kinds.length).toBeGreaterThan(0)
  expect(kinds.every((kind) => kind.trim() === 'alarm')).toBe(true)
})

test('a link to what this station does not have shows the usual', async () => {
  const { page, errors, close } = await dashboard.opened('#/averages?length=PT7M&channel=dust&value=guess&validity=no')
  const shown = await Promise.all(['Average', 'Channel', 'Value', 'Validity'].map((label) => picked(page, label)))
  await page.keyboard.press('1')
  await page.goto(`${dashboard.station.url}#/watch?beside=dust&values=guess`)
  await page.locator('channel-figures').first().waitFor()
  const onWatch = await Promise.all(['Values', 'Laid over'].map((label) => picked(page, label)))
  await close()
  expect(shown).toEqual(['PT30M', '', 'most-referred', 'all'])
  expect(onWatch).toEqual(['limits', ''])
  expect(errors).toEqual([])
})
