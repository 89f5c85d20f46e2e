import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, eventually, watchedPage } from '../support/a-browser.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'kept-recordings-'))
const data = join(folder, 'data')
let browser: Browser
let address: string
beforeAll(async () => {
  browser = await aBrowser()
  mkdirSync(data)
  const stationFile = join(folder, 'station.json')
  const source = join(folder, 'silent.log')
  writeFileSync(source, '')
  const simulate = ['simulate', '--scenario', 'half-hour', '--hours', '1', '--speed', 'fastest']
  writeFileSync(stationFile, (await flueledger(...simulate, '--station-file', '--to', `file:${source}`)).out)
  for (const [seed, name] of [
    [1, 'before-tuning'],
    [2, 'after-tuning'],
  ] as const) {
    const log = join(folder, `${name}.log`)
    await flueledger(...simulate, '--seed', String(seed), '--to', `file:${log}`)
    const out = join(data, `${name}.flue.sqlite`)
    const imported = await flueledger('import', log, '--station', stationFile, '--out', out)
    if (imported.status !== 0) throw new Error(imported.err)
  }
  const station = new Running('serve', '--station', stationFile, '--data', data, '--port', '0')
  address = await station.address()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

const opened = async () => {
  const watched = await watchedPage(browser, address)
  await watched.page.goto(`${address}/#/recordings`)
  await watched.page.locator('recordings-view li').nth(2).waitFor()
  return watched
}
const names = () => readdirSync(data).filter((name) => name.endsWith('-tuning.flue.sqlite'))

test('two runs lie on one chart, each from its own start, in a channel that both have', async () => {
  const { page, errors, foreign, close } = await opened()
  for (const name of ['before-tuning', 'after-tuning'])
    await page
      .locator('li', { hasText: name })
      .getByRole('checkbox', { name: /chart of two runs/ })
      .press('Space')
  const chart = page.locator('two-runs canvas')
  await chart.waitFor()
  const inked = () =>
    chart.evaluate((canvas) => {
      const { width, height } = canvas as HTMLCanvasElement
      const pixels = (canvas as HTMLCanvasElement).getContext('2d')?.getImageData(0, 0, width, height).data ?? []
      const colours = new Set<string>()
      for (let at = 0; at < pixels.length; at += 4)
        if ((pixels[at + 3] ?? 0) > 250) colours.add(`${pixels[at]},${pixels[at + 1]},${pixels[at + 2]}`)
      return colours.size
    })
  await expect.poll(inked, eventually).toBeGreaterThanOrEqual(2)
  const channels = await page.getByLabel('Channel').locator('option').allTextContents()
  const found = await breaches(page)
  await close()
  expect(channels.join()).toMatch(/O₂/)
  expect({ found, errors, foreign }).toEqual({ found: [], errors: [], foreign: [] })
})

test('a recording is found by a part of its name', async () => {
  const { page, close } = await opened()
  await page.getByLabel('Search').fill('AFTER')
  await expect.poll(() => page.locator('recordings-view li').count(), eventually).toBe(1)
  await page.getByLabel('Search').fill('no such night')
  await page.getByText('No recording fits “no such night”').waitFor()
  await close()
})

test('a copy is kept, the recording removed after its name was typed, and brought along again with its seals checked', async () => {
  const { page, errors, close } = await opened()
  const line = page.locator('li', { hasText: 'before-tuning' })
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    line.getByRole('link', { name: 'Keep a copy of' }).press('Enter'),
  ])
  const copy = join(folder, 'brought.flue.sqlite')
  await download.saveAs(copy)

  await line.getByRole('button', { name: 'Remove' }).press('Enter')
  const dialog = page.getByRole('dialog')
  await dialog.getByLabel('Type its name once more').fill('something else')
  await dialog.getByLabel('Name', { exact: true }).fill('M. Example')
  await page.keyboard.press('Enter')
  await dialog.getByRole('alert').getByText('nothing was removed').waitFor()
  const stillThere = names()
  await dialog.getByLabel('Type its name once more').fill('before-tuning')
  await page.keyboard.press('Enter')
  await page.getByText('was removed.').waitFor()
  expect([stillThere.length, names()]).toEqual([2, ['after-tuning.flue.sqlite']])

  const damaged = join(folder, 'damaged.flue.sqlite')
  writeFileSync(damaged, readFileSync(copy).subarray(0, 20_000))
  await page.getByLabel('Bring a recording along').setInputFiles(damaged)
  await page.getByText('it was not taken in').waitFor()
  await page.getByLabel('Bring a recording along').setInputFiles(copy)
  await page.getByText('brought was taken in; its seals hold.').waitFor()
  await page
    .locator('li')
    .filter({ hasText: /ended|suspended/ })
    .nth(1)
    .waitFor()
  await close()
  expect(readdirSync(data).filter((name) => name.startsWith('brought'))).toEqual(['brought.flue.sqlite'])
  // The refusal of a damaged file is an answer of 400, which the browser notes by itself.
  expect(errors.filter((error) => !/400/.test(error))).toEqual([])
})

test('the running recording cannot be removed', async () => {
  const { page, close } = await opened()
  const running = page.locator('li', { hasText: 'running now' })
  await running.waitFor()
  const buttons = await running.getByRole('button').allTextContents()
  await close()
  expect(buttons.join()).not.toMatch(/Remove/)
})

test('a file that does not come says why in words, and the page stays where it is', async () => {
  const { page, close } = await opened()
  rmSync(join(data, 'after-tuning.flue.sqlite'))
  const line = page.locator('li', { hasText: 'after-tuning' })
  const [told] = await Promise.all([
    page.waitForEvent('popup'),
    line.getByRole('link', { name: /Export.*CSV/ }).press('Enter'),
  ])
  await told.getByText('there is no recording "after-tuning"').waitFor()
  await expect.poll(() => page.url()).toMatch(/#\/recordings$/)
  await close()
})
