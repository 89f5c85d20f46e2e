import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { testAnswer } from '../../protocols/live/test.ts'
import { importLogTo } from '../../server/station/import-log.ts'
import { aBrowser, eventually, watchedPage } from '../support/a-browser.ts'
import { atThreeWidths } from '../support/a-dashboard.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'
import { aNightStation, gas, lineText, minute, ten } from '../support/engine-night.ts'

// Invented runs. 40 CFR 60.8(f), from memory: a test is the arithmetic mean of its runs. By hand: 100, 110 and 90 ppm give
// 100 ppm and a standard deviation of √((0 + 100 + 100) / 2) = 10 ppm.
const folder = mkdtempSync(join(tmpdir(), 'test-of-runs-page-'))
const data = join(folder, 'data')
let browser: Browser
let address = ''

async function recordedRun(name: string, startMs: number, nox: number, stationName?: string): Promise<void> {
  const log = join(folder, `${name}.log`)
  const text = Array.from({ length: 60 }, (_, number) => lineText(startMs + number * minute, { mode: 'S', nox }))
  writeFileSync(log, `${text.join('\n')}\n`)
  const station = aNightStation({
    channels: [gas('nox')],
    stream: { timeFrom: 'line' },
    averaging: { blocks: ['PT1H'], run: { rule: 'minutes', minimum: 60 } },
    results: { uncertainty: 'ignore' },
    limits: [{ id: 'nox-test', channel: 'nox', of: 'block', average: 'run', value: 99, unit: 'ppm' }],
    ...(stationName ? { station: { name: stationName, timeZone: 'UTC', standardTime: false } } : {}),
  })
  await importLogTo(log, station, JSON.stringify(station), join(data, `${name}.flue.sqlite`))
}

beforeAll(async () => {
  browser = await aBrowser()
  mkdirSync(data)
  const hour = 60 * minute
  await recordedRun('run-a', ten, 100)
  await recordedRun('run-b', ten + 2 * hour, 110)
  await recordedRun('run-c', ten + 4 * hour, 90)
  await recordedRun('elsewhere', ten + 6 * hour, 90, 'Boiler 9')
  const source = join(folder, 'silent.log')
  const stationFile = join(folder, 'station.json')
  writeFileSync(source, '')
  const simulate = ['simulate', '--scenario', 'half-hour', '--hours', '1', '--speed', 'fastest']
  writeFileSync(stationFile, (await flueledger(...simulate, '--station-file', '--to', `file:${source}`)).out)
  const station = new Running('serve', '--station', stationFile, '--data', data, '--port', '0')
  address = await station.address()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

const asked = async (runs: string) => {
  const answer = await fetch(`${address}/api/tests?runs=${runs}`)
  return { status: answer.status, body: await answer.json() }
}

test('a test of three runs is had over HTTP: mean, spread, each run, verdict', async () => {
  const { status, body } = await asked('run-a,run-b,run-c')
  expect(status).toBe(200)
  const { runs, rows, notes } = testAnswer.parse(body)
  expect(runs.map(({ recording, startMs }) => [recording, startMs])).toEqual([
    ['run-a', ten],
    ['run-b', ten + 120 * minute],
    ['run-c', ten + 240 * minute],
  ])
  expect(rows.find(({ quantity }) => quantity === 'as_read')).toMatchObject({
    channel: 'nox',
    mean: 100,
    valid: true,
    spread: { minimum: 90, maximum: 110, standardDeviation: 10 },
    runs: [{ mean: 100, valid: true }, { mean: 110 }, { mean: 90 }],
    verdicts: [{ limit: 'nox-test', verdict: 'above', complies: false }],
  })
  expect(notes).toEqual([])
})

test.each([
  ['run-a', 400, /runs: must be 2 to 50 recording ids/],
  ['run-a,../run-b', 400, /runs: must be 2 to 50 recording ids/],
  ['run-a,run-z', 404, /there is no recording "run-z"/],
  ['run-a,run-a', 409, /^run-a: is named twice; each run of a test counts once$/],
  ['run-a,elsewhere', 409, /^elsewhere: was recorded at “Boiler 9”, run-a at “/],
  ['run-a,current', 409, /^current: its (run has not ended|station file forms no average)/],
] as const)('runs=%s is refused with %d, in words', async (runs, status, words) => {
  const found = await asked(runs)
  expect(found.status).toBe(status)
  expect(found.body.errors.join()).toMatch(words)
})

const take = async (page: Page, name: string): Promise<void> => {
  await page.getByRole('checkbox', { name: `Run of a test: ${name}` }).press('Space')
}

test('three recordings make a test without a mouse, and it is copied as a table', async () => {
  const { page, errors, foreign, close } = await watchedPage(browser, address)
  await page.context().grantPermissions(['clipboard-read', 'clipboard-write'])
  await page.goto(`${address}/#/recordings`)
  await page.locator('recordings-view li').nth(3).waitFor()
  await take(page, 'run-c')
  const part = page.locator('test-of-runs')
  await part.getByText('Choose at least one more recording whose run has ended.').waitFor()
  await take(page, 'run-a')
  await take(page, 'run-b')
  await part.getByText('Runs, in order of time: run-a.log, run-b.log, run-c.log').waitFor()
  await part.getByRole('button', { name: 'Form the test' }).press('Enter')
  const row = part.locator('tbody tr', { hasText: 'as read' })
  await row.waitFor(eventually)
  // Where the hand was while the station computed.
  expect(await part.evaluate((element) => element.shadowRoot?.activeElement?.textContent)).toBe('Form the test')
  const cells = await row.locator('th, td').allInnerTexts()
  const found = await atThreeWidths(page)
  await part.getByRole('button', { name: 'Copy as a table' }).press('Enter')
  await part.getByRole('status').getByText('Copied: paste it into a spreadsheet').waitFor()
  const [heading, first] = (await page.evaluate(() => navigator.clipboard.readText())).split('\r\n')
  // Another choice is another test: the old one goes.
  await take(page, 'run-b')
  await row.waitFor({ state: 'detached' })
  await take(page, 'elsewhere')
  await part.getByRole('button', { name: 'Form the test' }).press('Enter')
  await part.getByRole('alert').getByText('elsewhere: was recorded at “Boiler 9”').waitFor(eventually)
  found.push(...(await atThreeWidths(page)))
  await close()
  expect(cells[0]).toMatch(/^NOₓ as read/)
  expect(cells[1]).toMatch(/^100\.0 ± [\d.]+ ppm, dry$/)
  expect(cells[2]).toMatch(/^90\.0 to 110\.0\s+standard deviation 10\.00$/)
  expect(cells[3]).toMatch(/every run valid\s+above its limit of 99: does not comply/)
  expect(cells.slice(4).map((cell) => cell.split(/\s/)[0])).toEqual(['100.0', '110.0', '90.0'])
  expect(heading?.split('\t')).toHaveLength(23)
  expect(first?.split('\t').slice(5, 6)).toEqual(['100'])
  expect(found).toEqual([])
  expect(errors.filter((text) => !/409/.test(text))).toEqual([])
  expect(foreign).toEqual([])
})
