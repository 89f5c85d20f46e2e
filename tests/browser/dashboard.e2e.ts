import { once } from 'node:events'
import { readdirSync, readFileSync } from 'node:fs'
import { get, type IncomingMessage } from 'node:http'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { startHttp } from '../../server/http/start-http.ts'
import { breaches, rulesOfLooks, watchedPage } from '../support/a-browser.ts'
import { aDashboard } from '../support/a-dashboard.ts'
import { aFace } from '../support/a-face.ts'
import { adviceAlarm, condensateAlarm, limitAlarm } from '../support/fixture-live/happenings.ts'
import { fixtureStation } from '../support/fixture-live.ts'

const dashboard = aDashboard()

const places = {
  watch: '#/watch',
  averages: '#/averages',
  alarms: '#/alarms',
  far: '#/watch?far=1',
  logbook: '#/logbook',
  recordings: '#/recordings',
  setUp: '#/set-up',
  replay: '#/watch?replay=night-23-november',
}
const landmarks = {
  watch: 'watch-view phase-hero',
  averages: 'averages-table tr:nth-child(9)',
  alarms: 'alarms-view .journal li',
  far: 'far-view h1',
  logbook: 'logbook-view li',
  recordings: 'recordings-view li',
  setUp: 'set-up-view p',
  replay: 'replay-bar input',
}
const widths = [
  { width: 1440, height: 900 },
  { width: 1024, height: 768 },
  { width: 390, height: 844 },
]

const schemes = ['light', 'dark'] as const

test.each(Object.keys(places) as (keyof typeof places)[])(
  '%s has no breach of WCAG 2.2 AA, no error, no foreign request and no sideways scrolling at three widths in both schemes',
  async (place) => {
    const alarms = [
      condensateAlarm(dashboard.station.now() - 43_000),
      limitAlarm(dashboard.station.now() - 120_000),
      adviceAlarm(dashboard.station.now()),
    ]
    for (const alarm of alarms) dashboard.station.setAlarm(alarm)
    const { page, errors, foreign, close } = await watchedPage(dashboard.browser, dashboard.station.url.slice(0, -1))
    const found: Record<string, { breaches: string[]; scrollsSideways: boolean }> = {}
    await page.goto(`${dashboard.station.url}${places[place]}`)
    for (const size of widths)
      for (const colorScheme of schemes) {
        await page.setViewportSize(size)
        await page.emulateMedia({ colorScheme })
        await page.locator(landmarks[place]).first().waitFor()
        found[`${size.width} ${colorScheme}`] = {
          breaches: await breaches(page, colorScheme === 'light' ? [] : rulesOfLooks),
          scrollsSideways: await page.evaluate(
            () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
          ),
        }
      }
    await close()
    for (const alarm of alarms) dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
    const looks = widths.flatMap(({ width }) => schemes.map((scheme) => `${width} ${scheme}`))
    expect(found).toEqual(Object.fromEntries(looks.map((look) => [look, { breaches: [], scrollsSideways: false }])))
    expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
  },
)

test('the search for breaches finds one that was put there', async () => {
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url)
  await page.goto(dashboard.station.url)
  await page.locator('watch-view phase-hero').waitFor()
  await page.evaluate(() => document.documentElement.removeAttribute('lang'))
  const found = await breaches(page)
  await close()
  expect(found.map((breach) => breach.split(':')[0])).toEqual(['html-has-lang'])
})

test('invented data are marked on every view', async () => {
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url)
  const seen: boolean[] = []
  for (const place of Object.keys(places) as (keyof typeof places)[]) {
    await page.goto(`${dashboard.station.url}${places[place]}`)
    await page.locator(landmarks[place]).first().waitFor()
    seen.push(await page.locator('top-bar, far-view').getByText('Invented data').isVisible())
  }
  await close()
  expect(seen).toEqual(Object.keys(places).map(() => true))
})

test('a clock at speed is marked, and figures stay fresh at sixty times the speed', async () => {
  const fast = await fixtureStation({ web: dashboard.web, speed: 60 })
  const { page, close } = await watchedPage(dashboard.browser, fast.url)
  await page.goto(fast.url)
  await page.getByText('Clock at 60 × speed').waitFor()
  const before = await page.locator('top-bar .clock').textContent()
  await page.waitForFunction((text) => {
    const bar = document
      .querySelector('flue-app')
      ?.shadowRoot?.querySelector('top-bar')
      ?.shadowRoot?.querySelector<HTMLElement>('.clock')
    return bar !== null && bar !== undefined && bar.textContent !== text
  }, before)
  const stale = await page.locator('channel-figures[stale]').count()
  await close()
  await fast.close()
  expect(stale).toBe(0)
})

test('the first picture has a trace for each channel and every column of pixels draws at most two points', async () => {
  const { page, close } = await watchedPage(dashboard.browser, dashboard.station.url)
  await page.goto(`${dashboard.station.url}#/watch?window=run`)
  await page.waitForFunction(() => {
    const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view')?.shadowRoot
    const strips = [...(view?.querySelectorAll<HTMLElement & { picture: { x: number[] } }>('trend-strip') ?? [])]
    return strips.length === 6 && strips.every((strip) => strip.picture.x.length > 400)
  })
  const [most, width] = await page.evaluate(() => {
    const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view')?.shadowRoot
    const strips = [
      ...(view?.querySelectorAll<HTMLElement & { picture: { x: number[]; y: (number | null)[] } }>('trend-strip') ??
        []),
    ]
    return [
      Math.max(...strips.map((strip) => strip.picture.y.filter((value) => value !== null).length)),
      strips[0]?.clientWidth ?? 0,
    ]
  })
  await close()
  expect(most).toBeLessThanOrEqual(2 * width)
})

test('a page that stayed open while the station was renewed still has the terms and the checks: no script is asked for', async () => {
  const { page, errors, close } = await watchedPage(dashboard.browser, dashboard.station.url)
  await page.goto(dashboard.station.url)
  await page.locator('watch-view phase-hero').waitFor()
  await page.waitForLoadState('networkidle')
  await page.route('**/assets/**', (route) => route.abort())
  await page.keyboard.press('?')
  await page.locator('terms-list').getByLabel('Find a term').waitFor()
  await page.getByRole('button', { name: 'Close' }).click()
  await page.goto(`${dashboard.station.url}#/logbook`)
  await page.getByRole('button', { name: 'Tell a check' }).click()
  await page.locator('signed-dialog dialog').waitFor()
  await close()
  expect(errors).toEqual([])
})

/** What goes from a station over the line for these files, each asked for by itself. */
async function compressedBytes(scripts: readonly string[]): Promise<number> {
  const http = await startHttp({ face: aFace().face, port: 0, webFolder: dashboard.web, version: '0', log: () => {} })
  let bytes = 0
  for (const path of scripts) {
    const asked = get({ ...http.address, path: `/${path}`, headers: { 'accept-encoding': 'gzip' } })
    const [response] = (await once(asked, 'response')) as [IncomingMessage]
    expect(response.headers['content-encoding']).toBe('gzip')
    for await (const piece of response) bytes += (piece as Buffer).length
  }
  await http.close()
  return bytes
}

test('the first picture needs at most 100 kB of script, compressed', async () => {
  const index = readFileSync(join(dashboard.web, 'index.html'), 'utf8')
  const first = [...index.matchAll(/(?:src|href)="\.\/(assets\/[^"]+\.js)"/g)].map(([, path = '']) => path)
  expect(first.length).toBeGreaterThan(0)
  expect(await compressedBytes(first)).toBeLessThanOrEqual(100_000)
})

test('all views together need at most 150 kB of script, compressed', async () => {
  const scripts = readdirSync(dashboard.web, { recursive: true, encoding: 'utf8' }).filter((path) =>
    path.endsWith('.js'),
  )
  // The first picture, and what follows it.
  expect(scripts.length).toBeGreaterThanOrEqual(2)
  expect(await compressedBytes(scripts)).toBeLessThanOrEqual(150_000)
})
