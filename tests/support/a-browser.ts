import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { hostname } from 'node:os'
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { patienceMs } from './patience.ts'

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** A state is waited for until it comes. */
export const eventually = { timeout: patienceMs }

/** What other machines call this one. */
export const nameInNetwork = `${hostname().toLowerCase()}.local`

/**
 * Parts of the browser that do nothing here. Chromium takes the last list alone, so the driver's own stands in it as well.
 * The first line holds the suggestions below the address field, which nobody sees: two pages more for each page, as dear as the dashboard itself.
 */
const unusedParts = [
  ...['WebUIOmniboxPopup', 'WebUIOmniboxAimPopup', 'WebUIOmniboxFullPopup'],
  ...['HttpsUpgrades', 'HttpsFirstBalancedModeAutoEnable', 'ThirdPartyStoragePartitioning', 'PaintHolding'],
  ...['AvoidUnnecessaryBeforeUnloadCheckSync', 'DestroyProfileOnBrowserClose', 'AvoidCorsURLLoaderRestartOnRedirect'],
  ...['LensOverlay', 'MediaRouter', 'Translate', 'OptimizationHints', 'NetworkTimeServiceQuerying', 'AimEnabled'],
  'PreconnectToSearch',
]

/** The distribution's Chromium, as it comes; nothing is fetched. */
export const startBrowser = (...flags: string[]): Promise<Browser> =>
  chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      `--disable-features=${unusedParts.join(',')}`,
      // Names that mean this machine, as a phone in the same network calls it: no secure context, unlike localhost.
      `--host-resolver-rules=MAP ${nameInNetwork} 127.0.0.1`,
      ...flags,
    ],
  })

let shared: Promise<Browser> | null = null

/**
 * A browser for the tests of one file, which close it. Without `flags` it is one for all files of a process: to start another
 * takes longer than many a file's tests, and closing ends what was opened in it.
 */
export async function aBrowser(...flags: string[]): Promise<Browser> {
  if (flags.length > 0) return startBrowser(...flags)
  shared ??= startBrowser().then((browser) => {
    browser.close = async () => {
      await Promise.all(browser.contexts().map((context) => context.close()))
    }
    return browser.on('disconnected', () => {
      shared = null
    })
  })
  return shared
}

/** A page that keeps account of what must not happen: errors, and requests to anyone but its own station. */
export async function watchedPage(browser: Browser, origin: string, options: BrowserContextOptions = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, locale: 'en-GB', ...options })
  context.setDefaultTimeout(patienceMs)
  const page = await context.newPage()
  const errors: string[] = []
  const foreign: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') errors.push(message.text())
  })
  page.on('pageerror', (error) => errors.push(error.message))
  page.on('request', (request) => {
    if (!request.url().startsWith(origin)) foreign.push(request.url())
  })
  return { page, errors, foreign, close: () => context.close() }
}

/** Rules that colours and borders decide. Names, roles and structure are the same in every look: one look is enough for them. */
export const rulesOfLooks = ['color-contrast', 'link-in-text-block', 'scrollable-region-focusable', 'target-size']

/** Breaches of WCAG 2.2 A and AA, or of `rules` alone, one line each. Injected through the browser's own protocol: the page's policy forbids scripts. */
export async function breaches(page: Page, rules: readonly string[] = []): Promise<string[]> {
  // axe runs in the page, which enforces trusted types: its text goes in by evaluate, not by a script element; once for each page.
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axeSource)
  return page.evaluate(async (only) => {
    const axe = (
      window as unknown as {
        axe: {
          run: (
            options: object,
          ) => Promise<{ violations: { id: string; nodes: { target: unknown; failureSummary?: string }[] }[] }>
        }
      }
    ).axe
    const { violations } = await axe.run({
      runOnly: only.length ? { type: 'rule', values: only } : ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'],
      resultTypes: ['violations'],
    } as object)
    return violations.flatMap((violation) =>
      violation.nodes.map((node) => `${violation.id}: ${JSON.stringify(node.target)} ${node.failureSummary ?? ''}`),
    )
  }, rules)
}
