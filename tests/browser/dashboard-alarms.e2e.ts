import type { Page } from 'playwright-core'
import { afterEach, expect, test } from 'vitest'
import type { AlarmStanding } from '../../protocols/live/messages.ts'
import { eventually } from '../support/a-browser.ts'
import { aDashboard, atThreeWidths, sign } from '../support/a-dashboard.ts'
import { adviceAlarm, condensateAlarm, limitAlarm } from '../support/fixture-live/happenings.ts'

const vanName = 'van.test'
const dashboard = aDashboard(
  `--host-resolver-rules=MAP ${vanName} 127.0.0.1`,
  '--autoplay-policy=no-user-gesture-required',
)
afterEach(() => {
  for (const alarm of dashboard.station.alarms())
    dashboard.station.setAlarm({ ...alarm, state: 'normal', active: false }, 'leave')
})

const remembered = async (page: Page) => {
  await page.evaluate(() => localStorage.setItem('flueledger.name', 'M. Example'))
}
/** Counts what is played: the browser's own sound, with each tone written down as it starts. */
const countTones = (page: Page) =>
  page.addInitScript(() => {
    const tones: number[] = []
    Object.assign(window, { tones })
    const start = OscillatorNode.prototype.start
    OscillatorNode.prototype.start = function (this: OscillatorNode, when?: number) {
      tones.push(this.frequency.value)
      start.call(this, when)
    }
  })
const tones = (page: Page) => page.evaluate(() => (window as unknown as { tones: number[] }).tones.length)
const another = (alarm: AlarmStanding, cause: string, more: Partial<AlarmStanding> = {}): AlarmStanding => ({
  ...alarm,
  alarm: `health:${cause}:main`,
  cause,
  ...more,
})

test('an alarm is shelved for a time in two taps beside Acknowledge, is named with its end, and is brought back', async () => {
  const { station } = dashboard
  station.setAlarm(condensateAlarm(station.now()))
  const { page, errors, close } = await dashboard.opened('#/watch')
  await remembered(page)
  const banner = page.getByRole('list', { name: 'Alarms' })
  await banner.getByRole('button', { name: 'Shelve …' }).click()
  await page.getByRole('button', { name: 'Being worked on' }).click()
  await banner.waitFor({ state: 'detached' })
  const shelved = station.asked.at(-1)
  await page.getByText('1 shelved').waitFor()
  await page.getByRole('link', { name: 'Alarms' }).click()
  await page.getByText(/Comes back at 25 Nov 04:4\d:\d\d \+01:00, in \d+ min/).waitFor()
  await page.getByRole('button', { name: 'Bring back …' }).click()
  await sign(page, 'M. Example')
  await page.locator('standing-alarm').getByText('stands', { exact: true }).waitFor()
  await close()
  expect(shelved).toEqual({
    do: 'shelve',
    by: 'M. Example',
    alarm: 'health:condensate:main',
    minutes: 30,
    note: 'Being worked on',
  })
  expect(errors).toEqual([])
})

test('an alarm is acknowledged in two taps once the name is known', async () => {
  const { station } = dashboard
  station.setAlarm(condensateAlarm(station.now()))
  const { page, close } = await dashboard.opened('#/watch')
  await remembered(page)
  await page.getByRole('button', { name: 'Acknowledge …' }).click()
  await page.getByRole('button', { name: 'Seen, going there' }).click()
  await page.getByText('stands, acknowledged').waitFor()
  await close()
  expect(station.asked.at(-1)).toMatchObject({ do: 'acknowledge', note: 'Seen, going there', by: 'M. Example' })
})

test('without a known name a ready-made reason waits for it, and nothing is sent', async () => {
  const { station } = dashboard
  station.setAlarm(condensateAlarm(station.now()))
  const { page, close } = await dashboard.opened('#/watch')
  const before = station.asked.length
  await page.keyboard.press('s')
  await page.getByRole('button', { name: 'Cause known, watched by eye' }).click()
  await page.keyboard.type('M. Example')
  const sentTooEarly = station.asked.length - before
  await page.keyboard.press('Enter')
  await expect.poll(() => station.asked.at(-1), eventually).toMatchObject({ do: 'shelve', by: 'M. Example' })
  await close()
  expect(sentTooEarly).toBe(0)
})

test('a latched alarm whose cause has gone is reset by keyboard alone, from the list', async () => {
  const { station } = dashboard
  const latched = { state: 'latched-acknowledged', active: false, by: 'M. Example', note: 'hose was kinked' } as const
  station.setAlarm(another(condensateAlarm(station.now()), 'pump-flow', latched))
  const { page, close } = await dashboard.opened('#/alarms')
  await page.getByRole('button', { name: 'Reset …' }).focus()
  await page.keyboard.press('Enter')
  await page.getByRole('dialog').waitFor()
  await page.keyboard.type('M. Example')
  await page.keyboard.press('Enter')
  await page.getByText('Nothing stands, nothing is shelved.').waitFor()
  await close()
  expect(station.asked.at(-1)).toMatchObject({ do: 'reset', alarm: 'health:pump-flow:main', by: 'M. Example' })
})

test('of alarms that came together the first is marked, whatever its priority', async () => {
  const { station } = dashboard
  const now = station.now()
  station.setAlarm(another(condensateAlarm(now - 60_000), 'filter', { priority: 'low' }))
  station.setAlarm(another(condensateAlarm(now - 30_000), 'pump-flow'))
  station.setAlarm(condensateAlarm(now))
  const { page, close } = await dashboard.opened('#/alarms')
  const marked = page.locator('standing-alarm', { hasText: 'First of 3' })
  await marked.waitFor()
  const first = await marked.getByRole('heading').textContent()
  await close()
  expect(first).toBe('Filter clogged or due')
})

test.each([390, 1440])(
  'at %i px all that can hurt is in sight in the dialog that acknowledges, before any scrolling',
  async (width) => {
    dashboard.station.setAlarm(condensateAlarm(dashboard.station.now() - 43_000))
    const { page, close } = await dashboard.opened('', { viewport: { width, height: 900 } })
    await page.locator('alarm-banner').getByRole('button', { name: 'Acknowledge …' }).first().press('Enter')
    const cautions = page.getByRole('list', { name: 'What can hurt' }).getByRole('listitem')
    await cautions.first().waitFor()
    const outOfSight = await cautions.evaluateAll((items) => {
      const frame = items[0]?.closest('dialog')?.getBoundingClientRect()
      return items.flatMap((item) => {
        const { top, bottom } = item.getBoundingClientRect()
        return frame && top >= frame.top && bottom <= frame.bottom ? [] : [item.textContent]
      })
    })
    const count = await cautions.count()
    await close()
    expect({ outOfSight, isThere: count > 0 }).toEqual({ outOfSight: [], isThere: true })
  },
)

test('a flood is folded into one line and the first; the rest is one link away', async () => {
  const { station } = dashboard
  const causes = ['mains', 'condensate', 'pump-flow', 'filter', 'cell-temperature', 'battery', 'cell-over-range']
  for (const [index, cause] of causes.entries())
    station.setAlarm(another(condensateAlarm(station.now() - 60_000 + index * 1000), cause))
  for (let raised = 0; raised < 11; raised++)
    station.log({
      atMs: station.now(),
      kind: 'alarm',
      text: `alarm ${raised}: raised`,
      by: null,
      savedMs: null,
      severity: 'abnormal',
    })
  const { page, close } = await dashboard.opened('#/watch')
  const banner = page.getByRole('list', { name: 'Alarms' })
  await banner.getByText('Flood: 11 alarms raised within 10 minutes, 5 folded').waitFor()
  const lines = await banner.locator('li').allInnerTexts()
  await page.getByRole('link', { name: 'and 5 more: all alarms' }).click()
  await page.locator('standing-alarm').nth(6).waitFor()
  await close()
  expect(lines).toHaveLength(3)
  expect(lines[1]).toMatch(/^Mains power lost/)
})

test('the sound is off until it is tapped, can be tried, silenced for a time, and a new alarm sounds through the silence', async () => {
  const { station } = dashboard
  const { page, errors, close } = await dashboard.opened('#/alarms')
  await countTones(page)
  await page.reload()
  await page.locator('sound-switch').getByRole('button', { name: 'Sound off, tap to enable' }).click()
  await page.locator('sound-switch').getByText('Sound on').waitFor()
  await page.getByRole('button', { name: 'Try: high priority' }).click()
  const tried = await tones(page)
  station.setAlarm(condensateAlarm(station.now()))
  await expect.poll(() => tones(page), eventually).toBe(tried + 6)
  await page.getByRole('button', { name: 'Silence for 10 minutes' }).click()
  await page.getByText(/Sound silenced for (10 min|9 min \d+ s) more; a new alarm sounds all the same/).waitFor()
  station.setAlarm(another(condensateAlarm(station.now()), 'pump-flow', { priority: 'medium' }))
  await expect.poll(() => tones(page), eventually).toBe(tried + 8)
  await page.getByRole('button', { name: 'End the silence' }).click()
  await page.locator('sound-panel').getByText('Sound on').waitFor()
  const found = await atThreeWidths(page)
  await close()
  expect(tried).toBe(6)
  expect(found).toEqual([])
  expect(errors).toEqual([])
})

test('where the browser waits for a tap the page says so, and the first touch anywhere switches the sound on', async () => {
  const { page, close } = await dashboard.opened('#/watch')
  await page.evaluate(() => localStorage.setItem('flueledger.sound', 'on'))
  await page.reload()
  await page.locator('sound-switch').getByText('Sound off until you tap once').waitFor()
  await page.locator('phase-hero').click()
  await page.locator('sound-switch').getByText('Sound on').waitFor()
  await close()
})

test('the tab tells of alarms by number, words and another icon, and of none when they are over', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/logbook')
  await expect.poll(() => page.title(), eventually).toBe('Boiler house 2, stack east')
  station.setAlarm(condensateAlarm(station.now()))
  station.setAlarm(adviceAlarm(station.now()))
  await expect
    .poll(() => page.title(), eventually)
    .toBe('(1) Condensate trap full or water in the sample line · Boiler house 2, stack east')
  const icon = await page.locator('link[rel=icon]').getAttribute('href')
  station.setAlarm({ ...condensateAlarm(station.now()), state: 'normal', active: false }, 'leave')
  await expect.poll(() => page.title(), eventually).toBe('Boiler house 2, stack east')
  const calmIcon = await page.locator('link[rel=icon]').getAttribute('href')
  await close()
  expect([icon, calmIcon]).toEqual(['./favicon-alarm.svg', './favicon.svg'])
})

test('a page in the background shows a notification where the browser allows it', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/alarms', { permissions: ['notifications'] })
  await page.addInitScript(() => {
    const shown: string[] = []
    Object.assign(window, { shown })
    const Real = Notification
    class Watched extends Real {
      constructor(title: string, options?: NotificationOptions) {
        super(title, options)
        shown.push(title)
      }
    }
    Object.defineProperty(window, 'Notification', { value: Watched })
    // A page that Chromium shows without a screen is never hidden by itself.
    Object.defineProperty(Document.prototype, 'hidden', { get: () => Object.hasOwn(window, 'isAway') })
  })
  await page.reload()
  await page.getByText('Notifications are allowed').waitFor()
  await page.evaluate(() => Object.assign(window, { isAway: true }))
  station.setAlarm(limitAlarm(station.now()))
  await expect
    .poll(() => page.evaluate(() => (window as unknown as { shown: string[] }).shown), eventually)
    .toEqual(['NOₓ: Limit passed, 204 against 200 mg/m³'])
  await close()
})

/** Turns the page's clock ahead, two seconds at each look, until its tab has a title. */
const turnedAhead = (page: Page, title: string) =>
  expect
    .poll(async () => {
      await page.clock.fastForward(2000)
      return page.title()
    }, eventually)
    .toBe(title)

test('a page in the background goes on calling by sound, and one that has lost the station calls too', async () => {
  const { station } = dashboard
  const { page, close } = await dashboard.opened('#/watch')
  await countTones(page)
  await page.addInitScript(() => {
    Object.defineProperty(Document.prototype, 'hidden', { get: () => Object.hasOwn(window, 'isAway') })
  })
  // The page's clock goes on as ever, but can be turned ahead over the waits between its tries.
  await page.clock.install()
  await page.reload()
  await page.locator('sound-switch').getByRole('button').click()
  await page.locator('sound-switch').getByText('Sound on').waitFor()
  await page.evaluate(() => Object.assign(window, { isAway: true }))
  station.setAlarm(condensateAlarm(station.now()))
  await expect.poll(() => tones(page), eventually).toBe(6)
  station.setAlarm({ ...condensateAlarm(station.now()), state: 'normal', active: false }, 'leave')
  station.cut(true)
  await turnedAhead(page, '(1) Out of touch · Boiler house 2, stack east')
  const called = await tones(page)
  station.cut(false)
  await turnedAhead(page, 'Boiler house 2, stack east')
  await close()
  expect(called).toBe(12)
})

test('over plain http under another name the page says in words why there is no notification, and all else works', async () => {
  const { station } = dashboard
  station.setAlarm(condensateAlarm(station.now()))
  const van = station.url.replace('127.0.0.1', vanName)
  const { page, errors, foreign, close } = await dashboard.opened('#/alarms', {}, van)
  await page.getByText(/Notifications need https, or the station’s own machine/).waitFor()
  await page.locator('sound-switch').getByRole('button').click()
  await page.locator('sound-switch').getByText('Sound on').waitFor()
  await page.getByRole('button', { name: 'Acknowledge …' }).click()
  await sign(page, 'M. Example', 'on my way')
  await page.getByText('stands, acknowledged').waitFor()
  await close()
  expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
})

test('the journal holds what was raised and what was over, newest first', async () => {
  const { page, close } = await dashboard.opened('#/alarms')
  const lines = page.getByRole('region', { name: 'Journal' }).locator('li')
  await lines.nth(1).waitFor()
  const texts = await lines.allInnerTexts()
  await close()
  const place = (text: string) => texts.findIndex((line) => line.includes(text))
  expect(place('CO reading above 400 ppm: returned')).toBeLessThan(place('CO reading above 400 ppm: raised'))
  expect(place('CO reading above 400 ppm: returned')).toBeGreaterThanOrEqual(0)
})
