import { expect, test } from 'vitest'
import { breaches, eventually, watchedPage } from '../support/a-browser.ts'
import { aDashboard, sign } from '../support/a-dashboard.ts'
import { condensateAlarm } from '../support/fixture-live/happenings.ts'

const dashboard = aDashboard()

test('an alarm is acknowledged by keyboard alone, with name and note; the name is remembered', async () => {
  dashboard.station.setAlarm(condensateAlarm(dashboard.station.now()))
  const { page, errors, close } = await dashboard.opened()
  await page.getByText('Condensate trap full').first().waitFor()
  const button = await page.getByRole('button', { name: 'Acknowledge …' }).boundingBox()
  await page.keyboard.press('a')
  await page.getByRole('dialog').waitFor()
  const found = await breaches(page)
  await page.keyboard.type('on my way')
  await page.keyboard.press('Tab')
  await page.keyboard.type('M. Example')
  await page.keyboard.press('Enter')
  await page.getByText('stands, acknowledged').waitFor()
  // The live line may tell of it before the answer has closed the dialog.
  await page.getByRole('dialog').waitFor({ state: 'hidden' })
  await page.keyboard.press('n')
  const remembered = await page.getByRole('dialog').getByLabel('Name').inputValue()
  await close()
  expect(dashboard.station.asked.at(-1)).toEqual({
    do: 'acknowledge',
    by: 'M. Example',
    alarm: 'health:condensate:main',
    note: 'on my way',
  })
  expect(remembered).toBe('M. Example')
  expect(found).toEqual([])
  expect(errors).toEqual([])
  expect(button?.height).toBeGreaterThanOrEqual(64)
})

test('a key that comes right after a dialog has closed is heard, before the browser gives the focus back', async () => {
  const { page, errors, close } = await dashboard.opened()
  await page.keyboard.press('n')
  await page.getByLabel('What happened').fill('trap emptied')
  await page.locator('signed-dialog').evaluate((element) => {
    const field = element.shadowRoot?.querySelector('textarea')
    element.shadowRoot?.querySelector('dialog')?.close()
    field?.dispatchEvent(new KeyboardEvent('keydown', { key: 'n', bubbles: true, composed: true }))
  })
  await page.getByRole('dialog').waitFor()
  const note = await page.getByLabel('What happened').inputValue()
  await close()
  expect({ note, errors }).toEqual({ note: '', errors: [] })
})

test('a note carries the moment of the press, not that of saving', async () => {
  const { page, close } = await dashboard.opened()
  const before = dashboard.station.now()
  await page.keyboard.press('n')
  await page.getByRole('dialog').waitFor()
  const opened = dashboard.station.now()
  await page.getByLabel('What happened').fill('trap emptied')
  await page.getByRole('dialog').getByLabel('Name').fill('M. Example')
  await expect.poll(() => dashboard.station.now() - opened, eventually).toBeGreaterThan(1500)
  await page.getByRole('button', { name: 'Save the note' }).click()
  await expect
    .poll(() => dashboard.station.asked.at(-1), eventually)
    .toMatchObject({ do: 'note', text: 'trap emptied' })
  await close()
  const note = dashboard.station.asked.at(-1)
  const pressed = note && 'pressedMs' in note ? note.pressedMs : Number.NaN
  // What the page knows of the station's clock may be a little behind or ahead.
  expect(pressed).toBeGreaterThan(before - 1000)
  expect(pressed).toBeLessThan(opened + 1000)
})

test('the help sheet opens by its key and closes by Escape', async () => {
  const { page, close } = await dashboard.opened()
  await page.keyboard.press('?')
  const sheet = page.getByRole('dialog', { name: 'Help' })
  await sheet.waitFor()
  const found = await breaches(page)
  const scrolled = await sheet.evaluate((dialog) => dialog.scrollTop)
  await page.keyboard.press('Escape')
  await sheet.waitFor({ state: 'hidden' })
  await close()
  expect({ found, scrolled }).toEqual({ found: [], scrolled: 0 })
})

test('the stretch that the trends show is in the address: whole run, only this, and back undoes', async () => {
  const { page, close } = await dashboard.opened()
  await page.getByRole('button', { name: 'Whole run' }).click()
  await page.waitForURL(/window=run/)
  await page.keyboard.press('b')
  await page.waitForURL(/from=\d+&to=\d+/)
  await page.getByText('held still; the recording goes on').waitFor()
  await page.goBack()
  await page.waitForURL(/window=run/)
  await page.getByRole('button', { name: 'Whole run', pressed: true }).waitFor()
  await close()
})

test('dragging over one chart zooms all of them', async () => {
  const { page, close } = await dashboard.opened()
  await page.locator('trend-strip').nth(1).scrollIntoViewIfNeeded()
  const box = await page.locator('trend-strip').nth(1).boundingBox()
  if (!box) throw new Error('the chart has no size')
  await page.mouse.move(box.x + 200, box.y + 40)
  await page.mouse.down()
  await page.mouse.move(box.x + 400, box.y + 44, { steps: 5 })
  await page.mouse.up()
  await page.waitForURL(/from=\d+&to=\d+/)
  const [from, to] = ['from', 'to'].map((name) =>
    Number(new URLSearchParams(new URL(page.url()).hash.split('?')[1]).get(name)),
  )
  await close()
  expect(((to ?? 0) - (from ?? 0)) / 60_000).toBeGreaterThan(15)
  expect(((to ?? 0) - (from ?? 0)) / 60_000).toBeLessThan(45)
})

test('of a sequence what is left can be called off while one of its runs is on', async () => {
  const { page, close } = await dashboard.opened()
  await page.getByText('run under way, 1 of 3').waitFor()
  await page.getByRole('button', { name: 'Cancel what is planned' }).click()
  await sign(page, 'M. Example')
  await close()
  expect(dashboard.station.asked.at(-1)).toEqual({ do: 'cancel-planned', by: 'M. Example' })
})

test('the next run is planned with a name, a time of the station’s zone and counted minutes written with a comma', async () => {
  const { page, close } = await dashboard.opened()
  const opened = dashboard.station.now()
  await page.getByRole('button', { name: 'Plan the next …' }).click()
  await page.locator('select[name=when]').selectOption('at')
  await page.locator('select[name=end]').selectOption('counted')
  await page.getByRole('dialog').locator('input[name=minutes]').fill('60,5')
  await page.getByRole('dialog').getByLabel('Name').fill('M. Example')
  await page.getByRole('button', { name: 'Plan it' }).click()
  await expect
    .poll(() => dashboard.station.asked.at(-1))
    .toMatchObject({ do: 'start', by: 'M. Example', end: { afterCountedMinutes: 60.5 }, count: 1 })
  const planned = dashboard.station.asked.at(-1)
  await page.getByText('next one planned for').waitFor()
  await close()
  const at = planned && 'at' in planned ? (planned.at ?? '') : ''
  expect(at).toMatch(/^2026-11-25T04:\d\d:00\+01:00$/)
  // In ten minutes, to the minute.
  expect((Date.parse(at) - opened) / 60_000).toBeGreaterThan(8)
  expect((Date.parse(at) - opened) / 60_000).toBeLessThan(12)
})

test('a replay is marked, plays, pauses and is sought; nothing can be acknowledged or noted in it', async () => {
  const { page, errors, close } = await dashboard.opened('#/watch?replay=night-23-november')
  const bar = page.locator('replay-bar')
  await bar.getByText('Replay', { exact: true }).waitFor()
  await bar.getByRole('button', { name: 'Pause' }).click()
  await bar.getByRole('button', { name: 'Play' }).waitFor()
  const place = bar.getByRole('slider')
  const before = Number(await place.inputValue())
  await place.focus()
  await page.keyboard.press('PageUp')
  await expect.poll(async () => Number(await place.inputValue()) - before, eventually).toBe(30 * 60_000)
  const paused = await page.locator('top-bar .clock').textContent()
  await bar.getByLabel('Speed').selectOption('300')
  await bar.getByRole('button', { name: 'Pause' }).waitFor()
  await expect.poll(() => page.locator('top-bar .clock').textContent(), eventually).not.toBe(paused)
  const stale = await page.locator('channel-figures[stale]').count()
  const notes = await page.getByRole('button', { name: /Note/ }).count()
  await bar.getByRole('button', { name: 'Back to live' }).click()
  await page.getByText('linked, live').waitFor()
  await bar.waitFor({ state: 'detached' })
  await close()
  expect({ stale, notes, errors }).toEqual({ stale: 0, notes: 0, errors: [] })
})

test('averages are filtered by length, channel and validity, with the reasons in words', async () => {
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url)
  await page.goto(`${dashboard.station.url}#/averages`)
  await page.locator('averages-table tbody tr').first().waitFor()
  await page.getByLabel('Channel').selectOption('nox')
  await page.getByLabel('Validity').selectOption('invalid')
  await expect
    .poll(async () => new Set(await page.locator('averages-table tbody td.channel').allInnerTexts()))
    .toEqual(new Set(['NOₓ']))
  await page.getByText('too little counted').first().waitFor()
  const exports = await page
    .getByRole('group', { name: /Export/ })
    .getByRole('link')
    .evaluateAll((links) => links.map((link) => link.getAttribute('href')))
  await close()
  expect(exports).toEqual(['csv', 'xlsx', 'json'].map((format) => `api/recordings/current/export?format=${format}`))
})

test('on a phone the sentence of a replay has the whole width, not a column of single words', async () => {
  const { page, close } = await dashboard.opened('#/watch?replay=night-23-november')
  await page.setViewportSize({ width: 390, height: 844 })
  const sentence = page.locator('replay-bar .name')
  await expect.poll(async () => (await sentence.boundingBox())?.width ?? 0, eventually).toBeGreaterThan(300)
  await close()
})

test('a recording is verified and opened for replay from the list', async () => {
  const watched = await watchedPage(dashboard.browser, dashboard.station.url)
  await watched.page.goto(`${dashboard.station.url}#/recordings`)
  await watched.page.getByRole('button', { name: 'Verify Night 23 November' }).click()
  await watched.page.getByText('seals: sound').waitFor()
  await watched.page.getByRole('link', { name: 'Replay Night 23 November' }).click()
  await watched.page.locator('replay-bar').getByText('Replay', { exact: true }).waitFor()
  await watched.close()
  expect(watched.errors).toEqual([])
})
