import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aBrowser, breaches, rulesOfLooks, watchedPage } from '../support/a-browser.ts'
import { endAll, flueledger, post, Running, until } from '../support/built-command.ts'
import { Cable } from '../support/pty-pair.ts'

const folder = mkdtempSync(join(tmpdir(), 'set-up-'))
let browser: Browser
beforeAll(async () => {
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await endAll()
  rmSync(folder, { recursive: true, force: true })
})

/** An invented instrument that has been measuring for a minute: two minutes into its cycle it measures, for eight minutes. */
const simulate = (to: string): string[] => [
  ...['simulate', '--scenario', 'half-hour', '--skip-to', 'now', '--to', to],
  ...['--start', new Date(Math.floor(Date.now() / 1000) * 1000 - 180_000).toISOString()],
]
const serve = (name: string): Running => new Running('serve', '--data', join(folder, name), '--port', '0')
const stationFile = (name: string): string => join(folder, name, 'station.json')

/** Presses of a mouse button from here on; `n()` tells how many. Keys that press a button are none. */
async function countClicks(page: Page): Promise<() => Promise<number>> {
  await page.evaluate(() => {
    const counter = window as unknown as { clicks: number }
    counter.clicks = 0
    // Not at the window: there the driver takes back a press whose target moved as a screen was turned, and presses again.
    document.addEventListener('pointerdown', () => counter.clicks++, { capture: true })
  })
  return () => page.evaluate(() => (window as unknown as { clicks: number }).clicks)
}

const figures = (page: Page) => page.locator('channel-figures:not([stale]) .digits', { hasText: /\d/ })
/** Where the machine has a serial port the page asks for that first. The tabulator leads from the choice to the field: no further click. */
async function toAddress(page: Page): Promise<void> {
  const inNetwork = page.getByRole('radio', { name: 'An address in the network' })
  await inNetwork.waitFor()
  if (await inNetwork.isChecked()) return page.getByLabel('Address and port').click()
  await inNetwork.click()
  await page.keyboard.press('Tab')
}
const overflow = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)

test('a newcomer sets up a new instrument from its live lines in under three minutes and six clicks', async () => {
  const simulator = new Running(...simulate('tcp:0'))
  const port = await simulator.port()
  const station = serve('newcomer')
  const address = await station.address()
  const { page, errors, foreign, close } = await watchedPage(browser, address)
  const since = performance.now()
  await page.goto(`${address}/`)
  const clicks = await countClicks(page)

  await page.getByText('No instrument is set up yet: nothing is recorded.').waitFor()
  await page.getByRole('link', { name: 'Set up an instrument' }).click()
  await toAddress(page)
  await page.keyboard.type(`127.0.0.1:${port}`)
  await page.keyboard.press('Enter')
  // Raw lines arrive, and a profile is proposed by itself: each line beside its values.
  await page.getByText(/\d+ of \d+ lines are read\./).waitFor()
  const lines = page.getByRole('region', { name: /Raw lines/ })
  await lines
    .getByText(/^\{"time":/)
    .first()
    .waitFor()
  await lines.getByText('measuring → Measuring').first().waitFor()
  const nox = page.getByRole('group', { name: /^gas\.no / })
  expect(await nox.getByLabel('What it is').inputValue()).toBe('NO')
  expect(await nox.getByLabel('Unit').inputValue()).toBe('')
  await page.getByRole('button', { name: 'Take the usual units' }).click()
  expect(await nox.getByLabel('Unit').inputValue()).toBe('ppm')
  await page.getByLabel('Name of the station').click()
  await page.keyboard.type('Boiler 3')
  await page.getByRole('button', { name: 'Show what will be written' }).click()
  const difference = page.getByRole('region', { name: 'What changes in the station file' })
  await difference.getByText('"name": "Boiler 3"').waitFor()
  for (const width of [390, 1024, 1440])
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ colorScheme })
      const found = await breaches(page, colorScheme === 'light' ? [] : rulesOfLooks)
      expect([width, colorScheme, await overflow(page), found]).toEqual([width, colorScheme, 0, []])
    }
  await page.getByRole('button', { name: 'Write and start' }).click()
  await page.getByText(/it applies now/).waitFor()
  expect(await clicks()).toBeLessThanOrEqual(6)
  await page.keyboard.press('1')
  await figures(page).first().waitFor()
  expect(performance.now() - since).toBeLessThan(180_000)
  const healthz = async (at: string) => (await fetch(`${at}/healthz`)).json()
  await until('the run is recorded and its lines are fresh', async () => (await healthz(address)).ok)

  expect((await flueledger('validate', stationFile('newcomer'))).status).toBe(0)
  expect(JSON.parse(readFileSync(stationFile('newcomer'), 'utf8')).channels).toContainEqual({
    id: 'o2',
    stream: 'main',
    field: 'o2',
    species: 'O2',
    unit: 'vol%',
    basis: 'dry',
    origin: 'measured',
  })
  await close()
  expect({ errors, foreign }).toEqual({ errors: [], foreign: [] })
  await station.endsInOrder()
  // Started again without a word it goes on with the file that was written.
  const again = serve('newcomer')
  const newAddress = await again.address()
  await until('the station goes on by itself', async () => (await healthz(newAddress)).run !== null)
  await again.stop()
  await simulator.stop()
})

/** What has the focus, across shadow roots: its label or its text. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    let at = document.activeElement
    while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement
    const labels = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? [...(at.labels ?? [])] : []
    return (labels[0]?.textContent ?? at?.textContent ?? '').trim()
  })
async function tabTo(page: Page, name: RegExp): Promise<void> {
  for (let press = 0; press < 200; press++) {
    if (name.test(await focused(page))) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`${name} is not reached by the tabulator`)
}

test('an instrument on a serial port is set up by the keyboard alone', async () => {
  const cable = new Cable()
  await cable.plug()
  const simulator = new Running(...simulate(`serial:${cable.instrument}`))
  const station = serve('keyboard')
  const address = await station.address()
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/`)
  const clicks = await countClicks(page)
  await page.getByText('No instrument is set up yet: nothing is recorded.').waitFor()
  await page.keyboard.press('6')
  await page.getByRole('radio', { name: 'An address in the network' }).waitFor()
  await tabTo(page, /^An address|^A serial/)
  if (!(await page.getByRole('radio', { name: 'A serial port' }).isChecked())) await page.keyboard.press('ArrowLeft')
  await tabTo(page, /^Port/)
  await page.keyboard.press('Control+a')
  await page.keyboard.type(cable.station)
  await page.keyboard.press('Enter')
  await page.getByText(/\d+ of \d+ lines are read\./).waitFor()
  await tabTo(page, /^Take the usual units$/)
  await page.keyboard.press('Enter')
  await tabTo(page, /^Name of the station/)
  await page.keyboard.type('Dryer')
  await tabTo(page, /^Add a limit$/)
  await page.keyboard.press('Enter')
  await page.getByRole('group', { name: 'Limit 1' }).waitFor()
  await page.keyboard.press('Shift+Tab')
  for (let press = 0; press < 8 && !/^Value/.test(await focused(page)); press++) await page.keyboard.press('Shift+Tab')
  await page.keyboard.type('80')
  expect(await breaches(page)).toEqual([])
  await tabTo(page, /^Show what will be written$/)
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: 'Write and start' }).waitFor()
  await tabTo(page, /^Write and start$/)
  await page.keyboard.press('Enter')
  await page.getByText(/it applies now/).waitFor()
  expect(await clicks()).toBe(0)
  expect(JSON.parse(readFileSync(stationFile('keyboard'), 'utf8'))).toMatchObject({
    station: { name: 'Dryer' },
    streams: [{ source: { kind: 'serial', path: cable.station } }],
    limits: [{ channel: 'co', of: 'block', average: 'PT30M', value: 80, unit: 'mg/m3' }],
  })
  await tabTo(page, /^Watch the station$/)
  await page.keyboard.press('Enter')
  await figures(page).first().waitFor()
  await close()
  expect(errors).toEqual([])
  await station.stop()
  await simulator.stop()
  await cable.throwAway()
})

/** An instrument that counts who listens to it. */
async function countedInstrument() {
  const sockets = new Set<Socket>()
  const server = createServer((socket) => {
    sockets.add(socket)
    let lines = 0
    const timer = setInterval(
      () => socket.write(`22:00:0${lines % 10};8,1${lines % 9};112;${lines++ % 3 === 0 ? 'Q7' : 'Messen'}\r\n`),
      100,
    )
    socket.on('error', () => {})
    socket.on('close', () => {
      clearInterval(timer)
      sockets.delete(socket)
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as { port: number }).port,
    listeners: () => sockets.size,
    close: () => {
      for (const socket of sockets) socket.destroy()
      server.close()
    },
  }
}

test('a port on trial is given back when the page leaves the set-up', async () => {
  const instrument = await countedInstrument()
  const station = serve('leaving')
  const address = await station.address()
  const { page, close } = await watchedPage(browser, address)
  const listen = async (): Promise<void> => {
    await toAddress(page)
    await page.getByLabel('Address and port').fill(`127.0.0.1:${instrument.port}`)
    await page.getByRole('button', { name: 'Listen', exact: true }).click()
    await until('the instrument is listened to', () => instrument.listeners() === 1)
  }
  await page.goto(`${address}/#/set-up`)
  await listen()
  await page.keyboard.press('Escape')
  await page.getByRole('link', { name: 'Recordings' }).click()
  await until('another view gives the port back', () => instrument.listeners() === 0)
  await page.goto(`${address}/#/set-up`)
  await listen()
  await close()
  // A page that vanishes without a word is missed after 20 seconds.
  await until('a closed page gives the port back', () => instrument.listeners() === 0)
  await station.stop()
  instrument.close()
})

test('a status word that is not known is listed, and tells what is chosen for it', async () => {
  const instrument = await countedInstrument()
  const station = serve('words')
  const address = await station.address()
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/set-up`)
  await toAddress(page)
  await page.keyboard.type(`127.0.0.1:${instrument.port}`)
  await page.keyboard.press('Enter')
  const words = page.getByRole('group', { name: 'Words in “state”' })
  await words.waitFor()
  const lines = page.getByRole('region', { name: /Raw lines/ })
  await lines.getByText('Q7 → not known').first().waitFor()
  expect(await words.getByLabel('Messen').inputValue()).toBe('phase:measure')
  expect(await words.getByLabel('Q7').inputValue()).toBe('')
  await words.getByLabel('Q7').selectOption('Purging')
  await lines.getByText('Q7 → Purging').first().waitFor()
  // Taken back, it is unknown again, and the other word keeps what it tells.
  await words.getByLabel('Messen').selectOption('not known')
  await lines.getByText('Messen → not known').first().waitFor()
  expect(await words.getByLabel('Q7').inputValue()).toBe('phase:purge')
  await page.getByText('No word tells measuring yet').waitFor()
  await words.getByLabel('Another word').fill('Null')
  await words.getByLabel('Another word').press('Enter')
  await words.getByLabel('Null', { exact: true }).waitFor()
  expect(await words.getByLabel('Another word').inputValue()).toBe('')
  await close()
  expect(errors).toEqual([])
  await station.stop()
  instrument.close()
})

test('an edit shows its faults beside the fields and its difference, and waits for the next run', async () => {
  const instrument = await countedInstrument()
  const file = join(folder, 'boiler.json')
  const before = {
    format: 1,
    regime: 'eu',
    station: { name: 'Boiler', timeZone: 'Europe/Vienna' },
    streams: [
      {
        id: 'main',
        source: { kind: 'tcp', host: '127.0.0.1', port: instrument.port },
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
      { id: 'o2', stream: 'main', field: 'o2', species: 'O2', range: [0, 25], t95Seconds: 30 },
      { id: 'co', stream: 'main', field: 'co', species: 'CO', needs: [{ channel: 'o2', between: [1, 20] }] },
    ],
    phases: { from: ['operator'], otherwise: 'measure' },
  }
  writeFileSync(file, `${JSON.stringify(before, null, 2)}\n`)
  const station = new Running('serve', '--station', file, '--data', join(folder, 'edit'), '--port', '0')
  const address = await station.address()
  const { page, errors, close } = await watchedPage(browser, address)
  await page.goto(`${address}/#/set-up`)
  const name = page.getByLabel('Name of the station')
  await name.fill('')
  const zone = page.getByRole('textbox', { name: 'Time zone' })
  await zone.fill('Europe/Nowhere')
  await page.getByRole('button', { name: 'Show what will be written' }).click()
  await page.getByText('2 things keep this from being written').waitFor()
  const saidOf = async (label: string): Promise<string> => {
    const field = page.getByRole('textbox', { name: label })
    expect(await field.getAttribute('aria-invalid')).toBe('true')
    return (await page.locator(`set-up-view #${await field.getAttribute('aria-describedby')}`).textContent()) ?? ''
  }
  expect(await saidOf('Time zone')).toMatch(/Nowhere/)
  expect((await saidOf('Name of the station')).length).toBeGreaterThan(5)
  expect(await breaches(page)).toEqual([])
  expect(await page.getByRole('button', { name: /^Write/ }).count()).toBe(0)

  await name.fill('Boiler 2')
  await zone.fill('Europe/Vienna')
  const oxygen = page.getByRole('textbox', { name: 'Reference oxygen' })
  await oxygen.fill('21.5')
  const show = page.getByRole('button', { name: 'Show what will be written' })
  await show.click()
  await page.getByText(/keeps? this from being written/).waitFor()
  // Typed, a field tells its change only as the press leaves it; what was said of it goes, and the button must not slip away.
  await oxygen.selectText()
  await page.keyboard.type('3')
  await show.scrollIntoViewIfNeeded()
  await show.hover()
  await page.mouse.down()
  // A person's press lasts some frames.
  await page.waitForTimeout(100)
  await page.mouse.up()
  const difference = page.getByRole('region', { name: 'What changes in the station file' })
  await difference.getByText('"name": "Boiler 2",').waitFor()
  expect(await difference.locator('li.old code').allInnerTexts()).toContain('    "name": "Boiler",')
  await page.getByRole('button', { name: 'Write, for the next run' }).click()
  await page.getByText(/it applies from the next run/).waitFor()
  const after = JSON.parse(readFileSync(file, 'utf8'))
  // What no page shows stays as it was.
  expect(after.channels[0]).toMatchObject({ range: [0, 25], t95Seconds: 30 })
  expect(after.channels[1].needs).toEqual(before.channels[1]?.needs)
  expect(after.streams[0].profile).toEqual(before.streams[0]?.profile)
  expect((await post(address, '/api/run', { do: 'end', by: 'A. Tester' })).status).toBe(200)
  await page.locator('top-bar').getByText('Boiler 2').waitFor()
  await close()
  expect(errors).toEqual([])
  await station.stop()
  instrument.close()
})
