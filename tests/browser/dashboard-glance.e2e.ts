import type { Page } from 'playwright-core'
import { afterEach, expect, test } from 'vitest'
import { eventually } from '../support/a-browser.ts'
import { aDashboard, sign } from '../support/a-dashboard.ts'
import { condensateAlarm } from '../support/fixture-live/happenings.ts'

const dashboard = aDashboard()
afterEach(() => {
  for (const alarm of dashboard.station.alarms())
    dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
  dashboard.station.silence(false)
})

/** All that the far view says, a line each. */
const saidAfar = async (page: Page) =>
  (await page.locator('far-view :is(h1, .since, .next), far-view glance-lines strong').allInnerTexts()).join('\n')

test('the far view answers in letters for three metres: phase, what comes next, what needs a hand, the block, what is stored', async () => {
  const { station } = dashboard
  const { page, errors, close } = await dashboard.opened('#/watch')
  await page.keyboard.press('f')
  await page.locator('far-view h1').waitFor()
  await page.getByText('Nothing needs a hand').waitFor()
  station.setAlarm(condensateAlarm(station.now()))
  await page.getByText('1 alarm needs a hand').waitFor()
  const said = await saidAfar(page)
  const letters = await page
    .locator('far-view .since, far-view glance-lines strong')
    .evaluateAll((parts) => parts.map((part) => Number.parseFloat(getComputedStyle(part).fontSize)))
  await page.keyboard.press('f')
  await page.locator('watch-view').waitFor()
  await close()
  expect(said).toMatch(/Measuring\s+for \d+ min/)
  expect(said).toMatch(/Purging in about \d+ min/i)
  expect(said).toMatch(/NOₓ (may pass|stays below|heading above) 200 mg\/m³/)
  expect(said).toMatch(/Stored up to \d\d:\d\d:\d\d/)
  // 14 mm of capital at three metres are 16 minutes of arc: ISO 9241-303 (from memory). Capitals are 0.72 of the size at least.
  expect(Math.min(...letters) * 0.72 * (25.4 / 96)).toBeGreaterThanOrEqual(14)
  expect(errors).toEqual([])
})

test('from afar an instrument that fell silent is not taken for one that measures, and nothing is foretold', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/watch?far=1')
  await page.getByRole('heading', { level: 1, name: 'Measuring' }).waitFor()
  station.silence(true)
  await page.getByRole('heading', { level: 1, name: 'No lines' }).waitFor()
  await page.getByText('Running block: not known now').waitFor()
  const said = await saidAfar(page)
  await close()
  expect(said).toMatch(/^No lines\nlast line \d+ s ago\n/)
  expect(said).not.toMatch(/stays below|may pass|heading above/)
})

test('the phase and the plant state are told by an operator, by keyboard, with a name', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/watch')
  await page.getByRole('button', { name: 'Tell phase or plant …' }).press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Tell the phase or the plant state' })
  await dialog.getByLabel('Phase').selectOption('span')
  await dialog.getByLabel('Plant').selectOption('start-up')
  await sign(page, 'M. Example')
  await expect
    .poll(() => station.asked.slice(-2), eventually)
    .toEqual([
      { do: 'mark-phase', by: 'M. Example', stream: null, phase: 'span' },
      { do: 'plant-state', by: 'M. Example', state: 'start-up' },
    ])
  await close()
})
