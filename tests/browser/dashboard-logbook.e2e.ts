import { expect, test } from 'vitest'
import { breaches, eventually } from '../support/a-browser.ts'
import { aDashboard, atThreeWidths, sign } from '../support/a-dashboard.ts'

const dashboard = aDashboard()

test('a ready-made entry is stamped with the moment of its tap and shows what can hurt', async () => {
  const { station } = dashboard
  const { page, errors, close } = await dashboard.opened('#/logbook')
  const button = page.getByRole('button', { name: 'Trap emptied' })
  const box = await button.boundingBox()
  const tapped = station.now()
  await button.click()
  await page.getByText(/Condensate is acidic and may be hot/).waitFor()
  const opened = station.now()
  const found = await breaches(page)
  await expect.poll(() => station.now() - opened, eventually).toBeGreaterThan(1500)
  await sign(page, 'M. Example')
  await page.locator('logbook-view li.note', { hasText: 'Trap emptied' }).first().waitFor()
  await close()
  const noted = station.asked.at(-1)
  expect(noted).toMatchObject({ do: 'note', text: 'Trap emptied', by: 'M. Example' })
  const pressed = noted && 'pressedMs' in noted ? noted.pressedMs : Number.NaN
  // What the page knows of the station's clock may be a little behind or ahead.
  expect(pressed).toBeGreaterThan(tapped - 1000)
  expect(pressed).toBeLessThan(opened + 1000)
  expect(box?.height).toBeGreaterThanOrEqual(64)
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('a correction is a new entry beside the old one, which keeps its words', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/logbook')
  const wrong = 'Load raised to 80 % at the control room’s request'
  const line = page.locator('logbook-view li', { hasText: wrong })
  await line
    .first()
    .getByRole('button', { name: /^Correct the note of/ })
    .click()
  await sign(page, 'M. Example', 'Load raised to 85 %, read off wrongly')
  const original = line.locator('s')
  await original.waitFor()
  const struck = await original.textContent()
  await line.getByText(/corrected .*Load raised to 85 %, read off wrongly/).waitFor()
  await page.locator('.kind', { hasText: 'correction' }).waitFor()
  await close()
  expect(struck).toBe(wrong)
  expect(station.asked.at(-1)).toMatchObject({
    do: 'note',
    text: 'Load raised to 85 %, read off wrongly',
    corrects: 'e3',
  })
})

test('a transfer check compares what the display shows with the lines of the same seconds and keeps both', async () => {
  const { station } = dashboard
  const { page, errors, close } = await dashboard.opened('#/logbook')
  const oxygen = page.getByRole('button', { name: 'Transfer check …' })
  await oxygen.focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Transfer check' })
  await dialog.waitFor()
  const shown = await page.evaluate(() => {
    const app = document.querySelector('flue-app') as unknown as {
      session: { state: { station: { readings: { values: Record<string, { asRead: number }> }[] } } }
    }
    return app.session.state.station.readings[0]?.values.o2?.asRead ?? Number.NaN
  })
  const found = await atThreeWidths(page)
  await dialog.getByLabel('O₂, %', { exact: true }).fill(shown.toFixed(1).replace('.', ','))
  await sign(page, 'M. Example')
  await close()
  const noted = station.asked.at(-1)
  expect(noted && 'text' in noted ? noted.text : '').toMatch(
    /^Transfer check: 1 of 1 agree\. O₂: display \d,\d, lines \d\.\d\d( to \d\.\d\d)? %: agrees\.$/,
  )
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('a display that shows something else is told before it is kept, and kept as it is at the second press', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/watch')
  await page.getByRole('button', { name: 'Transfer check …' }).click()
  const dialog = page.getByRole('dialog', { name: 'Transfer check' })
  await dialog.getByLabel('O₂, %', { exact: true }).fill('20.9')
  await dialog.getByLabel('Name').fill('M. Example')
  const before = station.asked.length
  await dialog.getByRole('button', { name: 'Compare and keep' }).click()
  await dialog
    .getByRole('alert')
    .getByText(/O₂: display 20\.9, lines .*: differs by \d+\.\d\d/)
    .waitFor()
  const sentUnasked = station.asked.length - before
  // The window around the press closes after five seconds: from then on the comparison stays the same.
  await expect
    .poll(async () => {
      const keep = dialog.getByRole('button', { name: 'Compare and keep' })
      // It may close between the look and the press: then nothing is left to be pressed.
      if (await dialog.isVisible()) await keep.click({ timeout: 1000 }).catch(() => {})
      return station.asked.at(-1)
    }, eventually)
    .toMatchObject({ do: 'note', text: expect.stringMatching(/^Transfer check: 0 of 1 agree\. O₂: display 20\.9, /) })
  await close()
  expect(sentUnasked).toBe(0)
})

test('the logbook is searched by text and name', async () => {
  const { page, close } = await dashboard.opened('#/logbook')
  await page.getByLabel('Search').fill('probe at point')
  await expect.poll(() => page.locator('logbook-view ol > li:not(.day)').count(), eventually).toBe(1)
  await close()
})

test('what amends the run stands in the logbook and is taken back by keyboard, with name and reason', async () => {
  const { page, errors, close } = await dashboard.opened('#/logbook')
  const list = page.locator('amendments-list')
  const excluded = list.locator('li', { hasText: 'probe out of the duct' })
  await excluded.getByText('in force').waitFor(eventually)
  await list.getByText(/Span check of CO.*391\.5 ppm shown for 400 ppm, 392 ppm with the gas at the analyser/).waitFor()
  await list.getByText(/Taken back: it was another cylinder/).waitFor()
  const button = excluded.getByRole('button', { name: /^Take back/ })
  const box = await button.boundingBox()
  const found = await atThreeWidths(page)
  await button.focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Take the exclusion back' })
  await dialog.waitFor()
  found.push(...(await breaches(page)))
  await page.keyboard.press('Tab')
  await page.keyboard.type('M. Example')
  await page.keyboard.press('Enter')
  await dialog.getByRole('alert').getByText('Needed: Reason').waitFor()
  // What is missing has the focus: what was told has moved the buttons, on a phone out of sight.
  await page.keyboard.type('it was in')
  await dialog.getByRole('button', { name: 'Take it back' }).focus()
  await page.keyboard.press('Enter')
  await dialog.waitFor({ state: 'hidden' })
  await excluded.getByText(/Taken back: it was in/).waitFor(eventually)
  await page.getByRole('status').getByText('Recorded. 7 averages changed by it').waitFor()
  expect(await list.getByRole('button', { name: /^Take back/ }).count()).toBe(0)
  // The button is gone: a keyboard goes on from the line that it belonged to.
  await expect.poll(() => excluded.evaluate((line) => line.matches(':focus')), eventually).toBe(true)
  await close()
  expect(box?.height).toBeGreaterThanOrEqual(48)
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('entries of long ago come page by page, and a search goes through all of them', async () => {
  const { station } = dashboard
  const oldMs = station.now() - 30 * 86_400_000
  for (let number = 0; number < 6500; number++)
    station.log({
      ...{ atMs: oldMs + number * 60_000, kind: 'note', text: `round ${number}`, by: 'M. Example' },
      ...{ savedMs: null, severity: 'plain' },
    })
  const { page, errors, close } = await dashboard.opened('#/logbook')
  const asked: number[] = []
  page.on('response', async (response) => {
    if (!response.url().includes('/logbook?')) return
    const answer = await response.json().catch(() => null) // The page may be closed by then.
    if (answer !== null) asked.push(answer.entries.length)
  })
  await page.getByRole('button', { name: /^Show more: \d{4} earlier ones$/ }).press('Enter')
  await page.getByLabel('Search').fill('round 17')
  // 17, 170 to 179, 1700 to 1799.
  await expect.poll(() => page.locator('logbook-view ol > li:not(.day)').count(), eventually).toBe(111)
  // Another part after all were seen: no more are asked for at once than the station gives.
  await page.getByLabel('Search').fill('')
  await page.getByRole('button', { name: 'Notes', exact: true }).click()
  await page.getByText(/round 6499/).waitFor()
  await expect.poll(() => page.locator('logbook-view .errors').count(), eventually).toBe(0)
  await close()
  expect(Math.max(...asked)).toBeLessThanOrEqual(5000)
  expect(asked.filter((length) => length <= 1001).length).toBeGreaterThan(5)
  expect(errors).toEqual([])
})
