import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, rulesOfLooks, watchedPage } from '../support/a-browser.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'all-settings-'))
let browser: Browser
beforeAll(async () => {
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

/** An instrument at the inlet: a line each tenth of a second. */
async function anInstrument() {
  const sockets = new Set<Socket>()
  const server = createServer((socket) => {
    sockets.add(socket)
    const timer = setInterval(() => socket.write('22:00:00;8,1;112\r\n'), 100)
    socket.on('error', () => {})
    socket.on('close', () => clearInterval(timer))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as { port: number }).port,
    close: () => {
      for (const socket of sockets) socket.destroy()
      server.close()
    },
  }
}
const stationAt = (port: number) => ({
  format: 1,
  regime: 'eu',
  station: { name: 'Boiler', timeZone: 'Europe/Vienna' },
  streams: [
    {
      id: 'inlet',
      source: { kind: 'tcp', host: '127.0.0.1', port },
      profile: {
        form: 'delimited',
        name: 'Boiler',
        decimal: ',',
        fields: [
          { name: 'o2', at: 1, unit: 'vol%' },
          { name: 'co', at: 2, unit: 'ppm' },
        ],
      },
      expectEverySeconds: 1,
    },
  ],
  channels: [
    { id: 'o2', stream: 'inlet', field: 'o2', species: 'O2', range: [0, 25], t95Seconds: 30 },
    { id: 'co', stream: 'inlet', field: 'co', species: 'CO' },
  ],
  phases: { from: ['operator'], otherwise: 'measure' },
  conversions: { referenceOxygen: 3 },
  limits: [{ channel: 'co', of: 'block', average: 'PT30M', value: 80, unit: 'mg/m3', referenceOxygen: 3 }],
})

/** A station with this file, and its set-up on the screen. */
async function setUpOf(name: string, settings: object) {
  const file = join(folder, `${name}.json`)
  writeFileSync(file, `${JSON.stringify(settings, null, 2)}\n`)
  const station = new Running('serve', '--station', file, '--data', join(folder, name), '--port', '0')
  const address = await station.address()
  const { page, errors, foreign, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/set-up`)
  await page.getByLabel('Search the settings').waitFor()
  const end = async (): Promise<void> => {
    await close()
    expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
    await station.stop()
  }
  return { file, page, end }
}
const section = (page: Page) => page.getByRole('region', { name: 'All settings' })
/** The field that has the focus: its id, across shadow roots. */
const focused = (page: Page): Promise<{ id: string; text: string }> =>
  page.evaluate(() => {
    let at = document.activeElement
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement
    const labels = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? [...(at.labels ?? [])] : []
    const said = at?.getAttribute('aria-label') ?? labels[0]?.textContent ?? at?.textContent ?? ''
    return { id: at?.id ?? '', text: said.trim() }
  })
async function tabTo(page: Page, name: RegExp, key = 'Tab'): Promise<void> {
  for (let press = 0; press < 400; press++) {
    if (name.test((await focused(page)).text)) return
    await page.keyboard.press(key)
  }
  throw new Error(`${name} is not reached by the tabulator`)
}
/** Looks a setting up and goes to it, by the keyboard alone. */
async function goTo(page: Page, words: string, name: RegExp): Promise<void> {
  await tabTo(page, /^Search the settings/, 'Shift+Tab')
  await page.keyboard.press('Control+a')
  await page.keyboard.type(words)
  await tabTo(page, name)
  await page.keyboard.press('Enter')
}
const pointerPresses = async (page: Page): Promise<() => Promise<number>> => {
  await page.evaluate(() => {
    const counter = window as unknown as { presses: number }
    counter.presses = 0
    window.addEventListener('pointerdown', () => counter.presses++, { capture: true })
  })
  return () => page.evaluate(() => (window as unknown as { presses: number }).presses)
}

test('settings of three parts and a second stream are set by the keyboard alone, refused where wrong, seen, and written', async () => {
  const instrument = await anInstrument()
  const simulator = new Running(
    ...['simulate', '--scenario', 'half-hour', '--skip-to', 'now', '--to', 'tcp:0'],
    ...['--start', new Date(Math.floor(Date.now() / 1000) * 1000 - 180_000).toISOString()],
  )
  const before = stationAt(instrument.port)
  const { file, page, end } = await setUpOf('keyboard', before)
  const presses = await pointerPresses(page)
  await tabTo(page, /^Search the settings/)

  await goTo(page, 'reference oxygen', /^Conversions › Reference oxygen/)
  await expect.poll(async () => (await focused(page)).id).toBe('set-conversions.referenceOxygen')
  await page.keyboard.press('Control+a')
  await page.keyboard.type('11')
  await page.keyboard.press('Tab')
  // The step above shows the same setting.
  expect(await page.getByLabel('Reference oxygen, vol%').first().inputValue()).toBe('11')
  await goTo(page, 'limits reference oxygen', /^Limits › Reference oxygen/)
  await page.keyboard.press('Control+a')
  await page.keyboard.type('11')
  await goTo(page, 'on delay', /^Limits › On delay/)
  await page.keyboard.type('90')
  await goTo(page, 'averaging rolling', /^Averaging › Rolling/)
  await tabTo(page, /^Add: Length 1$/)
  await page.keyboard.press('Enter')
  // Slower than the lines arrive: what is drawn meanwhile takes nothing from what is typed.
  await page.keyboard.type('4 h', { delay: 1_200 })
  await page.keyboard.press('Tab')
  expect(await section(page).getByLabel('Length 1', { exact: true }).inputValue()).toBe('4 hours')

  // A value that is not allowed is refused at its field, and counted.
  const ambient = section(page).getByLabel('Ambient oxygen, vol%')
  await goTo(page, 'ambient oxygen', /^Conversions › Ambient oxygen/)
  expect(await ambient.getAttribute('placeholder')).toBe('21')
  await page.keyboard.type('99')
  await page.keyboard.press('Tab')
  await section(page).getByText('99 is too large; at most 21.5').waitFor()
  expect(await ambient.getAttribute('aria-invalid')).toBe('true')
  await section(page).getByText('1 setting is at fault.', { exact: true }).waitFor()
  expect(await breaches(page)).toEqual([])
  await tabTo(page, /^Go to the first$/, 'Shift+Tab')
  await page.keyboard.press('Enter')
  await expect.poll(async () => (await focused(page)).id).toBe('set-conversions.ambientOxygen')
  await page.keyboard.press('Control+a')
  await page.keyboard.press('Delete')
  await page.keyboard.press('Tab')
  await section(page).getByText('Not set here. In force: 21 (the regime presets it).').waitFor()
  expect(await ambient.getAttribute('aria-invalid')).toBe(null)

  await tabTo(page, /^Add another stream$/, 'Shift+Tab')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: 'second' }).waitFor()
  await tabTo(page, /^Name of this stream in exports$/)
  await page.keyboard.press('Control+a')
  await page.keyboard.type('outlet')
  await tabTo(page, /^An address|^A serial/)
  if (!(await page.getByRole('radio', { name: 'An address in the network' }).isChecked()))
    await page.keyboard.press('ArrowRight')
  await tabTo(page, /^Address and port$/)
  await page.keyboard.type(`127.0.0.1:${await simulator.port()}`)
  await page.keyboard.press('Enter')
  await page.getByText(/\d+ of \d+ lines are read\./).waitFor()
  await tabTo(page, /^Take the usual units$/)
  await page.keyboard.press('Enter')

  await tabTo(page, /^Show what will be written$/)
  await page.keyboard.press('Enter')
  const difference = page.getByRole('region', { name: 'What changes in the station file' })
  await difference.getByText('"id": "outlet",').waitFor()
  expect(await difference.locator('li.old code').allInnerTexts()).toContain('    "referenceOxygen": 3')
  expect(await difference.locator('li.new code').allInnerTexts()).toEqual(
    expect.arrayContaining(['    "referenceOxygen": 11', '      "onDelaySeconds": 90']),
  )
  await tabTo(page, /^Write, for the next run$/)
  await page.keyboard.press('Enter')
  await page.getByText(/it applies from the next run/).waitFor()
  expect(await presses()).toBe(0)

  const after = JSON.parse(readFileSync(file, 'utf8'))
  expect(after.conversions).toEqual({ referenceOxygen: 11 })
  expect(after.averaging).toEqual({ rolling: ['PT4H'] })
  expect(after.limits).toEqual([{ ...before.limits[0], referenceOxygen: 11, onDelaySeconds: 90 }])
  expect(after.streams[0]).toEqual(before.streams[0])
  expect(after.streams[1]).toMatchObject({
    id: 'outlet',
    source: { kind: 'tcp', port: Number(await simulator.port()) },
  })
  expect(after.channels.slice(0, 2)).toEqual(before.channels)
  expect(after.channels.slice(2)).toContainEqual(
    expect.objectContaining({ id: 'o2-outlet', stream: 'outlet', species: 'O2', unit: 'vol%' }),
  )
  expect(after.channels.slice(2).every(({ stream }: { stream: string }) => stream === 'outlet')).toBe(true)
  expect((await flueledger('validate', file)).status).toBe(0)
  await end()
  await simulator.stop()
  instrument.close()
})

test('the form is sound in every look and width, and its targets are large enough for gloves', async () => {
  const instrument = await anInstrument()
  const { page, end } = await setUpOf('looks', stationAt(instrument.port))
  await section(page)
    .locator('summary', { hasText: /^\s*Limits/ })
    .click()
  await section(page)
    .locator('summary', { hasText: /^\s*Limit 1/ })
    .click()
  await section(page)
    .locator('summary', { hasText: /^\s*Averaging/ })
    .click()
  await section(page).getByLabel('Validity').selectOption('a point in each quarter of the hour')
  await section(page)
    .locator('summary', { hasText: /^\s*Averaging/ })
    .getByText('1 setting is at fault')
    .waitFor()
  await page.getByLabel('Search the settings').fill('profile fields stands')
  await section(page)
    .getByRole('button', { name: /Profile › Fields › Where it stands Where/ })
    .click()
  expect(await section(page).getByLabel('Where it stands', { exact: true }).inputValue()).toBe('0')
  expect(await section(page).getByLabel('Its value').inputValue()).toBe('1')
  await page.getByLabel('Search the settings').fill('purge')
  await section(page)
    .getByText(/settings found/)
    .waitFor()
  for (const [width, contrast] of [
    [390, 'no-preference'],
    [390, 'more'],
    [1024, 'no-preference'],
    [1440, 'no-preference'],
  ] as const)
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ colorScheme, contrast })
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      )
      const isFirstLook = colorScheme === 'light' && contrast === 'no-preference'
      const found = await breaches(page, isFirstLook ? [] : rulesOfLooks)
      expect([width, colorScheme, contrast, overflow, found]).toEqual([width, colorScheme, contrast, 0, []])
    }
  const tooSmall = await section(page).evaluate((element) =>
    [...element.querySelectorAll('input, select, button, summary')]
      .filter((each) => each.getClientRects().length > 0 && each.getBoundingClientRect().height < 48)
      .map((each) => each.outerHTML),
  )
  expect(tooSmall).toEqual([])
  await end()
  instrument.close()
})

test('a stream is removed only when it is said twice, and what nobody shows stays in the file', async () => {
  const instrument = await anInstrument()
  const inlet = stationAt(instrument.port)
  const before = {
    ...inlet,
    streams: [
      ...inlet.streams,
      { ...inlet.streams[0], id: 'outlet', source: { kind: 'tcp', host: '127.0.0.1', port: 9 } },
    ],
    channels: [...inlet.channels, { id: 'co-out', stream: 'outlet', field: 'co', species: 'CO' }],
    plantState: { from: 'signal', channel: 'o2', runningAbove: 1, offBelow: 0.5 },
  }
  const { file, page, end } = await setUpOf('removal', before)
  await page.getByRole('button', { name: 'outlet' }).click()
  await page.getByRole('button', { name: 'Remove this stream' }).click()
  await page.getByText('“outlet” goes, with its channels (co-out) and their limits.').waitFor()
  await page.getByRole('button', { name: 'Keep it' }).click()
  await page.getByRole('button', { name: 'Remove this stream' }).click()
  await page.getByRole('button', { name: 'Yes, remove it' }).click()
  await page.getByRole('button', { name: 'Show what will be written' }).click()
  await page.getByRole('button', { name: 'Write, for the next run' }).click()
  await page.getByText(/it applies from the next run/).waitFor()
  expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual({ ...inlet, plantState: before.plantState })
  await end()
  instrument.close()
})
