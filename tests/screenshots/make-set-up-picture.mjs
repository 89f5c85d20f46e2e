// Takes the pictures of the set-up from a station without an instrument and a simulator that sends it lines: docs/images/set-up.png and all-settings.png.
// node tests/screenshots/make-set-up-picture.mjs [folder]   (build first; needs /usr/bin/chromium)
import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

const inTree = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url))
const folder = process.argv[2] ?? inTree('docs/images')
const data = mkdtempSync(join(tmpdir(), 'flueledger-picture-'))
const started = []

/** Starts the built command and waits for what it says; the first group of the pattern. */
const told = (pattern, ...parameters) =>
  new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [inTree('dist/server/main.js'), ...parameters])
    started.push(child)
    let said = ''
    const hear = (chunk) => {
      said += chunk
      const found = pattern.exec(said)
      if (found) resolve(found[1])
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.once('exit', (status) => reject(new Error(`ended with status ${status}: ${said}`)))
  })

const measuring = [
  '--start',
  new Date(Math.floor(Date.now() / 1000) * 1000 - 300_000).toISOString(),
  '--skip-to',
  'now',
]
const port = await told(/"port":(\d+)/, 'simulate', '--scenario', 'rough-night', ...measuring, '--to', 'tcp:0')
const address = await told(/dashboard: (\S+)/, 'serve', '--data', data, '--port', '0')
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
})
try {
  const context = await browser.newContext({
    viewport: { width: 1440, height: 1250 },
    colorScheme: 'light',
    locale: 'en-GB',
  })
  const page = await context.newPage()
  await page.goto(`${address}#/set-up`)
  await page.getByRole('radio', { name: 'An address in the network' }).check()
  await page.getByLabel('Address and port').fill(`127.0.0.1:${port}`)
  await page.keyboard.press('Enter')
  await page.getByText(/1\d of 1\d lines are read\./).waitFor()
  await page.getByRole('button', { name: 'Take the usual units' }).click()
  await page
    .locator('set-up-view section')
    .nth(1)
    .evaluate((section) => section.scrollIntoView({ block: 'start' }))
  await page.screenshot({ path: join(folder, 'set-up.png') })
  const settings = page.locator('set-up-view section').nth(4)
  await page.getByLabel('Name of the station').fill('Boiler 3')
  await page.getByLabel('Search the settings').fill('oxygen reference')
  await settings.getByRole('button', { name: /^Conversions › Reference oxygen/ }).click()
  await settings.getByLabel('Reference oxygen, vol%').fill('30')
  await page.keyboard.press('Tab')
  await settings.getByText('30 is too large; at most 20').waitFor()
  await page.getByLabel('Search the settings').fill('')
  await page.setViewportSize({ width: 1440, height: 1500 })
  await settings.evaluate((section) => section.scrollIntoView({ block: 'start' }))
  await page.screenshot({ path: join(folder, 'all-settings.png') })
  await context.close()
} finally {
  await browser.close()
  for (const child of started) child.kill('SIGTERM')
  rmSync(data, { recursive: true, force: true })
}
