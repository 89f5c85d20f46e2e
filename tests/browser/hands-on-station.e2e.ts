import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { logbookAnswer } from '../../protocols/live/requests.ts'
import { aBrowser, eventually, watchedPage } from '../support/a-browser.ts'
import { sign } from '../support/a-dashboard.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'hands-on-station-'))
let browser: Browser
beforeAll(async () => {
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

const simulate = ['simulate', '--scenario', 'half-hour']

test('on a real station: a corrected note, a transfer check and a shelved alarm are in the recording, and it verifies', async () => {
  // Two minutes into its cycle the instrument measures, for eight minutes: three of them have passed.
  const night = ['--start', new Date(Math.floor(Date.now() / 1000) * 1000 - 180_000).toISOString(), '--skip-to', 'now']
  const simulator = new Running(...simulate, ...night, '--to', 'tcp:0')
  const stationFile = join(folder, 'station.json')
  const given = await flueledger(...simulate, '--station-file', '--to', `tcp:${await simulator.port()}`)
  writeFileSync(stationFile, given.out)
  const data = join(folder, 'data')
  const station = new Running('serve', '--station', stationFile, '--data', data, '--port', '0')
  const address = await station.address()
  const logbook = async () =>
    logbookAnswer.parse(await (await fetch(`${address}/api/recordings/current/logbook`)).json()).entries
  const { page, errors, foreign, close } = await watchedPage(browser, address)

  // There must be lines to compare with: the page has heard some once it shows figures.
  await page.goto(`${address}/#/watch`)
  await page.locator('channel-figures:not([stale]) .digits', { hasText: /\d/ }).first().waitFor()
  await page.goto(`${address}/#/logbook`)
  // By keys: an alarm that comes up at this moment moves what lies below it, and a mouse would miss.
  await page.getByRole('button', { name: 'Load changed' }).press('Enter')
  await sign(page, 'M. Example', 'Load raised to 80 %')
  await page.getByRole('button', { name: /^Correct the note of/ }).press('Enter')
  await sign(page, 'M. Example', 'Load raised to 85 %')
  await page.locator('logbook-view s', { hasText: 'Load raised to 80 %' }).waitFor()

  await page.getByRole('button', { name: 'Transfer check …' }).press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Transfer check' })
  const oxygen = dialog.getByLabel('O₂, %', { exact: true })
  await oxygen.fill('99')
  await dialog.getByLabel('Name').fill('M. Example')
  await expect
    .poll(async () => {
      const keep = dialog.getByRole('button', { name: 'Compare and keep' })
      // It may close between the look and the press: then nothing is left to be pressed.
      if (await dialog.isVisible()) await keep.click({ timeout: 1000 }).catch(() => {})
      return (await logbook()).map(({ text }) => text)
    }, eventually)
    .toContainEqual(expect.stringMatching(/^Transfer check: 0 of 1 agree\. O₂: display 99, lines .* %: differs by \d+/))

  await simulator.stop('SIGKILL')
  await page.getByRole('link', { name: 'Alarms' }).click()
  const alarm = page.locator('standing-alarm').first()
  await alarm.getByRole('button', { name: 'Shelve …' }).click()
  await page.getByRole('button', { name: 'Being worked on' }).click()
  await page
    .getByText(/Comes back at/)
    .first()
    .waitFor()
  await page.getByRole('button', { name: 'Bring back …' }).first().click()
  await sign(page, 'M. Example')
  await page.locator('standing-alarm').getByText('stands', { exact: true }).first().waitFor()
  const entries = await logbook()
  await close()
  const { status } = await station.stop('SIGTERM')
  const [file = ''] = readdirSync(data).filter((name) => name.endsWith('.flue.sqlite'))
  const verified = await flueledger('verify', join(data, file))

  const original = entries.find(({ text }) => text === 'Load raised to 80 %')
  const correction = entries.find(({ text }) => text === 'Load raised to 85 %')
  expect(correction).toMatchObject({ kind: 'note', by: 'M. Example', corrects: original?.id })
  expect(entries.filter(({ kind, by }) => kind === 'alarm' && by === 'M. Example').map(({ text }) => text)).toEqual([
    expect.stringMatching(/shelved.*Being worked on/),
    expect.stringMatching(/taken off the shelf/),
  ])
  expect({ status, verified: verified.status, errors, foreign }).toEqual({
    status: 0,
    verified: 0,
    errors: [],
    foreign: [],
  })
})
