import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { blocksAnswer, recordingsAnswer } from '../../protocols/live/requests.ts'
import { aBrowser, breaches, eventually, watchedPage } from '../support/a-browser.ts'
import { endAll, post, Running, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'explain-page-'))
let browser: Browser
let address = ''

const halfHours = async () => {
  const answer = await fetch(
    `${address}/api/recordings/current/blocks?average=PT30M&channel=co&quantity=at_reference_oxygen`,
  )
  return blocksAnswer.parse(await answer.json()).rows
}

beforeAll(async () => {
  browser = await aBrowser()
  const demo = new Running('demo', '--port', '0', '--data', join(folder, 'data'))
  address = await demo.address()
  await until('four valid half-hours', async () => (await halfHours()).filter(({ valid }) => valid).length >= 4)
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

test('an average opens down to its raw lines without a mouse', async () => {
  const { page, errors, foreign, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#averages`)
  const figure = page.getByRole('button', { name: /^CO .*where it comes from/ }).nth(2)
  await figure.waitFor(eventually)
  await figure.focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Where this number comes from' })
  await dialog.getByText(/worked out anew from the lines: as stored/).waitFor(eventually)
  expect(await dialog.getByText('factor of the reference oxygen').count()).toBeGreaterThan(0)
  expect(await breaches(page)).toEqual([])

  await dialog.locator('summary', { hasText: 'Raw lines' }).focus()
  await page.keyboard.press('Enter')
  await dialog
    .getByText(/^line \d+$/)
    .first()
    .waitFor(eventually)
  expect(await dialog.locator('code').first().textContent()).toMatch(/^\S+;.*;/)
  expect(await breaches(page)).toEqual([])
  await page.keyboard.press('Escape')
  await dialog.waitFor({ state: 'hidden' })
  await close()
  expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
})

test('a dialog does not stay over another view or another recording than it was opened over', async () => {
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/watch`)
  await page.goto(`${address}/#/averages`)
  await page
    .getByRole('button', { name: /^CO .*where it comes from/ })
    .nth(2)
    .press('Enter')
  const explained = page.getByRole('dialog', { name: 'Where this number comes from' })
  await explained.waitFor(eventually)
  await page.goBack()
  await explained.waitFor({ state: 'hidden' })

  const { recordings } = recordingsAnswer.parse(await (await fetch(`${address}/api/recordings`)).json())
  await page.goto(`${address}/#/logbook`)
  await page.getByRole('button', { name: 'Exclude a stretch' }).press('Enter')
  const exclusion = page.locator('signed-dialog dialog')
  await exclusion.waitFor(eventually)
  await page.goto(`${address}/#/logbook?replay=${recordings[0]?.id}`)
  await exclusion.waitFor({ state: 'hidden' })
  await close()
  expect(errors).toEqual([])
})

test('the mean of the running block tells where it comes from', async () => {
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/`)
  await page.locator('channel-figures').first().waitFor(eventually)
  // At speed a block would be over before it is asked for.
  await page.getByText(/Clock at/).waitFor({ state: 'hidden', ...eventually })
  await page
    .getByRole('button', { name: /Where the mean of CO comes from/ })
    .first()
    .click()
  await page.getByText(/the block is still running/).waitFor(eventually)
  await close()
  expect(errors).toEqual([])
})

test('a stretch is excluded and taken back without a mouse, and stands on chart, averages and logbook', async () => {
  const asked = (await halfHours()).filter(({ valid }) => valid).at(-1)
  const { startMs = 0, count = 0 } = asked ?? {}
  const { page, errors, close } = await watchedPage(browser, address)
  // Ten minutes of the half-hour are looked at, held still.
  await page.goto(`${address}/#watch?from=${startMs + 600_000}&to=${startMs + 1_200_000}`)
  await page.getByRole('button', { name: 'Exclude this stretch' }).focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Exclude a stretch' })
  await dialog.waitFor()
  expect(await breaches(page)).toEqual([])
  await dialog.getByLabel(/^Reason/).focus()
  await page.keyboard.type('probe was out')
  await page.keyboard.press('Tab')
  await page.keyboard.type('A. Tester')
  await page.keyboard.press('Enter')
  await dialog.waitFor({ state: 'hidden' })
  await page.locator('phase-ribbon text', { hasText: 'Excluded' }).first().waitFor(eventually)
  const changed = (await halfHours()).find((row) => row.startMs === startMs)
  expect([changed?.count, changed?.reasons]).toEqual([count - 600, expect.arrayContaining(['excluded'])])

  await page.goto(`${address}/#averages`)
  await page.getByText('a stretch was excluded by hand').first().waitFor(eventually)
  await page.goto(`${address}/#logbook`)
  await page
    .getByText(/^Excluded from the averages: all channels/)
    .first()
    .waitFor(eventually)
  expect(await breaches(page)).toEqual([])
  await page.getByRole('button', { name: /^Take back: / }).focus()
  await page.keyboard.press('Enter')
  await page.getByRole('dialog', { name: 'Take the exclusion back' }).waitFor()
  await page.keyboard.type('it was in')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: /^Take back: / }).waitFor({ state: 'hidden', ...eventually })
  await page.locator('amendments-list').getByText('Taken back: it was in').waitFor()
  await expect
    .poll(async () => (await halfHours()).find((row) => row.startMs === startMs)?.count, eventually)
    .toBe(count)
  await close()
  expect(errors).toEqual([])
})

test('other settings are tried on a recording without a mouse, marked as not stored', async () => {
  const before = await halfHours()
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#recordings`)
  await page
    .getByRole('button', { name: /^Compare settings/ })
    .first()
    .focus()
  await page.keyboard.press('Enter')
  const oxygen = page.getByLabel('Reference oxygen, %')
  await oxygen.waitFor(eventually)
  expect(await page.getByLabel(/^NOₓ, 30 minutes/).count()).toBe(1)
  await page.keyboard.press('Enter')
  await page.getByText('Nothing differs from the settings of the recording yet').waitFor(eventually)
  await oxygen.fill('11')
  await page.keyboard.press('Enter')
  await page.getByText(/limits at 3 vol% oxygen go with it, to 11/).waitFor(eventually)
  expect(await page.getByRole('region', { name: 'Differences' }).locator('tbody tr').count()).toBeGreaterThan(50)
  await page
    .getByRole('cell', { name: /^NOₓ, mg\/m³/ })
    .first()
    .waitFor(eventually)
  expect(await page.getByText('Not stored').count()).toBe(2)
  expect(await breaches(page)).toEqual([])
  const after = await halfHours()
  expect(after.slice(0, before.length)).toEqual(before)
  await close()
  expect(errors).toEqual([])
})

test('a check is told without a mouse, of the run that goes on and of one that is over', async () => {
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/logbook`)
  const tellCheck = async (shown: string): Promise<void> => {
    await page.getByRole('button', { name: 'Tell a check' }).focus()
    await page.keyboard.press('Enter')
    const dialog = page.getByRole('dialog', { name: 'Tell a check' })
    await dialog.waitFor()
    expect(await breaches(page)).toEqual([])
    await dialog.getByLabel('Channel').selectOption({ label: 'CO, ppm' })
    await dialog.getByLabel('Kind').selectOption('span')
    await dialog.getByLabel('The gas holds').fill('400')
    await dialog.getByLabel('Gas: cylinder, certificate').fill('invented cylinder 7')
    await dialog.getByLabel('Name').fill('A. Tester')
    await page.keyboard.press('Enter')
    await dialog.getByRole('alert').getByText('What was shown: a number is needed.').waitFor(eventually)
    await dialog.getByLabel('Shown through the whole system').focus()
    await page.keyboard.type(shown)
    await page.keyboard.press('Enter')
    await dialog.waitFor({ state: 'hidden' })
  }
  await tellCheck('391,5')
  await page.getByText('Span check of CO: 391.5 ppm shown for 400 ppm').first().waitFor(eventually)
  const run = await (await fetch(`${address}/api/recordings/current/amendments`)).json()
  expect(run.checks).toMatchObject([{ kind: 'span', channel: 'co', response: 391.5, withdrawn: null }])

  // The run ends; its recording is opened from the list.
  const list = await (await fetch(`${address}/api/recordings`)).json()
  const first = recordingsAnswer.parse(list).recordings.find(({ state }) => state === 'running')
  await post(address, '/api/run', { do: 'end', by: 'A. Tester', note: '' })
  await page.goto(`${address}/#/logbook?replay=${first?.id}`)
  await page.locator('replay-bar').getByText('Replay', { exact: true }).waitFor(eventually)
  await tellCheck('388')
  const over = await (await fetch(`${address}/api/recordings/${first?.id}/amendments`)).json()
  expect(over.checks).toHaveLength(2)

  // The newer one is taken back, though the run is over.
  const told = page.locator('amendments-list')
  const newer = told.locator('li', { hasText: '388' })
  await newer.getByRole('button', { name: /^Take back: Span check of CO/ }).focus()
  await page.keyboard.press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Take the check back' })
  await dialog.waitFor()
  await dialog.getByLabel('Reason').fill('read off at the wrong cylinder')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Enter')
  await dialog.waitFor({ state: 'hidden' })
  await newer.getByText('Taken back: read off at the wrong cylinder').waitFor(eventually)
  await page
    .getByRole('status')
    .getByText(/^Recorded\. /)
    .waitFor()
  const back = await (await fetch(`${address}/api/recordings/${first?.id}/amendments`)).json()
  expect(back.checks).toMatchObject([
    { response: 391.5, withdrawn: null },
    { response: 388, withdrawn: { by: 'A. Tester', reason: 'read off at the wrong cylinder' } },
  ])
  await close()
  expect(errors).toEqual([])
})
