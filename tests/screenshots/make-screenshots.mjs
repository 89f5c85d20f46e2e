// Takes the pictures of the documents from the demo as it runs: no picture is drawn by hand.
// node tests/screenshots/make-screenshots.mjs [folder]   (build first; needs /usr/bin/chromium)
import { spawn } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

/** A document with pictures larger than this loads slowly on a phone at a plant. */
const mostBytes = 300_000
const desk = { width: 1440, height: 900 }
const phone = { width: 390, height: 844 }
const liveWithinMs = 120_000

const inTree = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url))
const folder = process.argv[2] ?? inTree('docs/images')
const data = mkdtempSync(join(tmpdir(), 'flueledger-pictures-'))

const demo = spawn(process.execPath, [inTree('dist/server/main.js'), 'demo', '--port', '8450', '--data', data], {
  stdio: ['ignore', 'pipe', 'inherit'],
})
const stopped = new Promise((resolve) => demo.once('exit', resolve))

/** The address that the demo prints; it takes another port where 8450 is taken. */
const address = await new Promise((resolve, reject) => {
  let said = ''
  demo.once('exit', (status) => reject(new Error(`the demo ended with status ${status} before it told its address`)))
  demo.stdout.on('data', (chunk) => {
    said += chunk
    const found = /dashboard: (\S+)/.exec(said)
    if (found) resolve(found[1])
  })
})

const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
})

async function picture(name, hash, { size, colorScheme, landmark, before }) {
  const context = await browser.newContext({ viewport: size, colorScheme, locale: 'en-GB' })
  const page = await context.newPage()
  await page.goto(`${address}${hash}`)
  await page.locator(landmark).first().waitFor()
  // Live: no plate says that the clock runs at speed.
  await page.waitForFunction(
    () => {
      const bar = document.querySelector('flue-app')?.shadowRoot?.querySelector('top-bar')?.shadowRoot
      return bar?.querySelector('.clock') && !bar.textContent?.includes('× speed')
    },
    undefined,
    { timeout: liveWithinMs },
  )
  await before?.(page)
  await page.evaluate(() => document.fonts.ready)
  // Charts are drawn in the frame after their data: two frames on, they stand.
  await page.evaluate(
    () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(() => resolve(undefined)))),
  )
  const path = join(folder, `${name}.png`)
  await page.screenshot({ path })
  await context.close()
  const { size: bytes } = statSync(path)
  console.log(`${path}  ${bytes} bytes`)
  if (bytes > mostBytes) throw new Error(`${path}: ${bytes} bytes; at most ${mostBytes}`)
}

/** The trends have come when each strip holds points. */
const chartsDrawn = (page) =>
  page.waitForFunction(() => {
    const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view')?.shadowRoot
    const strips = [...(view?.querySelectorAll('trend-strip') ?? [])]
    // The newest readings come at once, the hours before them a moment later.
    return strips.length > 0 && strips.every(({ picture: { x } }) => x.length > 60 && x.at(-1) - x[0] > 5400)
  })

/** Plays a while from the middle of the night on. */
async function playFromMiddle(page) {
  await page.locator('replay-bar input[type=range]').evaluate((range) => {
    range.value = String((Number(range.min) + Number(range.max)) / 2)
    range.dispatchEvent(new Event('input', { bubbles: true }))
    range.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await page.locator('replay-bar button.play', { hasText: 'Play' }).click()
  await page.locator('replay-bar button.play', { hasText: 'Pause' }).waitFor()
  await chartsDrawn(page)
}

try {
  mkdirSync(folder, { recursive: true })
  const watch = { landmark: 'watch-view phase-hero', before: chartsDrawn }
  await picture('watch-light', '#/watch?span=7200000', { ...watch, size: desk, colorScheme: 'light' })
  await picture('watch-dark', '#/watch?span=7200000', { ...watch, size: desk, colorScheme: 'dark' })
  await picture('watch-phone', '#/watch', { ...watch, size: phone, colorScheme: 'light' })
  await picture('averages', '#/averages', {
    landmark: 'averages-table tr:nth-child(5)',
    size: desk,
    colorScheme: 'light',
  })
  await picture('alarms', '#/alarms', { landmark: 'alarms-view .journal', size: desk, colorScheme: 'light' })
  await picture('far', '#/watch', {
    landmark: 'watch-view phase-hero',
    before: async (page) => {
      await page.keyboard.press('f')
      await page.locator('far-view h1').waitFor()
    },
    size: desk,
    colorScheme: 'dark',
  })
  await picture('logbook', '#/logbook', { landmark: 'logbook-view li', size: desk, colorScheme: 'light' })
  await picture('recordings', '#/recordings', { landmark: 'recordings-view li', size: desk, colorScheme: 'light' })
  const { recordings } = await (await fetch(`${address}api/recordings`)).json()
  const recorded = recordings.find(({ state }) => state !== 'damaged')
  await picture('replay', `#/watch?replay=${encodeURIComponent(recorded.id)}&span=7200000`, {
    landmark: 'replay-bar input',
    before: playFromMiddle,
    size: desk,
    colorScheme: 'light',
  })
} finally {
  await browser.close()
  demo.kill('SIGTERM')
  await stopped
  rmSync(data, { recursive: true, force: true })
}
