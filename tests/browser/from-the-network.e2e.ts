import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type RunningHttp, startHttp } from '../../server/http/start-http.ts'
import { aBrowser, breaches, nameInNetwork, watchedPage } from '../support/a-browser.ts'
import { aFace } from '../support/a-face.ts'
import { builtPage } from '../support/built-page.ts'
import { type FixtureStation, fixtureStation } from '../support/fixture-live.ts'

const passphrase = 'three lit burners at dawn'
let browser: Browser
let station: FixtureStation
let guarded: RunningHttp
beforeAll(async () => {
  browser = await aBrowser()
  station = await fixtureStation({ web: builtPage() })
  guarded = await startHttp({
    face: aFace().face,
    host: '0.0.0.0',
    port: 0,
    passphrase,
    webFolder: builtPage(),
    version: '0',
    log: () => {},
  })
})
afterAll(async () => {
  await station?.close()
  await guarded?.close()
  await browser?.close()
})

test.each([
  ['#/watch', 'channel-figures'],
  ['#/averages', 'averages-table tr:nth-child(9)'],
  ['#/logbook', 'logbook-view li'],
  ['#/recordings', 'recordings-view li'],
  ['#/watch?replay=night-23-november', 'replay-bar input'],
])('%s works under the name that a phone in the network uses, over plain http', async (place, landmark) => {
  const origin = `http://${nameInNetwork}:${new URL(station.url).port}`
  const { page, errors, foreign, close } = await watchedPage(browser, origin)
  await page.goto(`${origin}/${place}`)
  await page.locator(landmark).first().waitFor()
  const isSecure = await page.evaluate(() => isSecureContext)
  await close()
  expect({ isSecure, errors, foreign }).toEqual({ isSecure: false, errors: [], foreign: [] })
})

test('from the network the passphrase is asked for by keyboard; a wrong one says so, the right one opens the station', async () => {
  const origin = `http://${nameInNetwork}:${guarded.address.port}`
  const { page, foreign, close } = await watchedPage(browser, origin, { viewport: { width: 390, height: 844 } })
  await page.goto(`${origin}/`)
  const found = await breaches(page)
  const field = await page.getByLabel('Passphrase of the station').boundingBox()
  await page.keyboard.type('not this one')
  await page.keyboard.press('Enter')
  await page.getByRole('alert').getByText('This is not the passphrase.').waitFor()
  await page.getByLabel('Passphrase of the station').fill(passphrase)
  await page.keyboard.press('Enter')
  await page.locator('channel-figures').first().waitFor()
  const address = page.url()
  await close()
  expect(new URL(address).pathname).toBe('/')
  expect(field?.height).toBeGreaterThanOrEqual(64)
  expect({ found, foreign }).toEqual({ found: [], foreign: [] })
})
