import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { startBrowser } from '../support/a-browser.ts'
import { endAll, flueledger, Running } from '../support/built-command.ts'

export interface SmoothTrends {
  readonly days: number
  readonly lines: number
  readonly megabytes: number
  /** Until the page stands: a replay goes through the whole run first. */
  readonly openMs: number
  /** From the press of *Whole run* until every chart is painted with it: least and most of the presses, ms. */
  readonly leastDrawMs: number
  readonly mostDrawMs: number
  /** Of the page's main thread while a hand moved and zoomed without a pause: by the clock, and what the thread itself worked. */
  readonly longestTaskMs: number
  readonly longestWorkMs: number
  /** By the clock, by the work, and how many tasks there were. */
  readonly over50Ms: readonly [number, number]
  readonly tasks: number
  readonly handSeconds: number
  readonly charts: number
  /** Most points of one chart, and the pixels that it is wide. */
  readonly points: number
  readonly pixels: number
}

const handMs = 5000
const presses = 5
const scenario = ['--scenario', 'half-hour']
const recordingName = 'thirty-days'

/** A recording of invented lines, one a second, as it is made by hand: the simulator's log, imported. Gives its station file and its lines. */
async function madeRecording(folder: string, days: number): Promise<{ stationFile: string; lines: number }> {
  const data = join(folder, 'data')
  mkdirSync(data)
  const silent = join(folder, 'silent.log')
  writeFileSync(silent, '')
  const stationFile = join(folder, 'station.json')
  writeFileSync(
    stationFile,
    (await flueledger('simulate', ...scenario, '--station-file', '--to', `file:${silent}`)).out,
  )
  const log = join(folder, 'days.log')
  await flueledger('simulate', ...scenario, '--hours', String(24 * days), '--speed', 'fastest', '--to', `file:${log}`)
  const out = join(data, `${recordingName}.flue.sqlite`)
  const imported = await flueledger('import', log, '--station', stationFile, '--out', out)
  if (imported.status !== 0) throw new Error(imported.err)
  rmSync(log)
  return { stationFile, lines: Number(/\d[\d ]*(?= lines)/.exec(imported.out)?.[0].replaceAll(' ', '') ?? Number.NaN) }
}

/** The page in the browser: what the charts hold, told by the elements themselves. */
interface Drawn {
  readonly charts: number
  readonly points: number
  readonly pixels: number
  readonly loading: boolean
  readonly spanMs: number
}
const drawn = (page: Page): Promise<Drawn> =>
  page.evaluate(() => {
    const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view') as unknown as {
      session: { feed: { loading: boolean } }
      shadowRoot: ShadowRoot
    }
    type Strip = HTMLElement & { picture: { x: number[]; y: (number | null)[] }; fromMs: number; toMs: number }
    const strips = [...view.shadowRoot.querySelectorAll<Strip>('trend-strip')]
    return {
      charts: strips.length,
      points: Math.max(...strips.map(({ picture }) => picture.y.filter((value) => value !== null).length)),
      pixels: Math.min(...strips.map((strip) => strip.shadowRoot?.querySelector('.u-over')?.clientWidth ?? 0)),
      loading: view.session.feed.loading,
      spanMs: (strips[0]?.toMs ?? 0) - (strips[0]?.fromMs ?? 0),
    }
  })

/** Presses *Whole run* and waits until the charts are painted with an answer that is newer than the press. Milliseconds. */
const wholeRunMs = (page: Page): Promise<number> =>
  page.evaluate(async () => {
    const view = document.querySelector('flue-app')?.shadowRoot?.querySelector('watch-view') as unknown as {
      session: { feed: { loading: boolean; steps: object } }
      shadowRoot: ShadowRoot
    }
    const { feed } = view.session
    const button = [
      ...(view.shadowRoot.querySelector('trend-bar')?.shadowRoot?.querySelectorAll<HTMLButtonElement>('button') ?? []),
    ].find((found) => found.textContent === 'Whole run')
    const before = feed.steps
    const sinceMs = performance.now()
    button?.click()
    type Strip = Element & { picture: { x: object }; plot: { data: object[] }; updateComplete: Promise<boolean> }
    const strips = [...view.shadowRoot.querySelectorAll('trend-strip')] as unknown as Strip[]
    while (feed.steps === before || feed.loading) await new Promise(requestAnimationFrame)
    // The picture that was asked for is handed over with the next draw; each chart then draws it in its turn.
    await new Promise(requestAnimationFrame)
    await strips.at(-1)?.updateComplete
    while (strips.some(({ plot, picture }) => plot.data[0] !== picture.x)) await new Promise(requestAnimationFrame)
    await new Promise(requestAnimationFrame)
    return performance.now() - sinceMs
  })

/** Lengths of the tasks on the page's main thread, ms, from a trace of the browser: on a busy machine the clock also counts the wait for a core. */
function mainThreadTasks(trace: Buffer): { clockMs: number; workMs: number }[] {
  const { traceEvents } = JSON.parse(trace.toString('utf8')) as {
    traceEvents: { name: string; pid: number; tid: number; dur?: number; tdur?: number; args?: { name?: string } }[]
  }
  const mains = new Set(
    traceEvents
      .filter(({ name, args }) => name === 'thread_name' && args?.name === 'CrRendererMain')
      .map(({ pid, tid }) => `${pid} ${tid}`),
  )
  return traceEvents
    .filter(({ name, pid, tid }) => name === 'ThreadControllerImpl::RunTask' && mains.has(`${pid} ${tid}`))
    .map(({ dur = 0, tdur = dur }) => ({ clockMs: dur / 1000, workMs: tdur / 1000 }))
}

/** A hand on the wheel, without a pause: out, sideways, in, sideways back. */
async function moveAndZoom(page: Page): Promise<void> {
  const chart = page.locator('trend-strip').first()
  await chart.scrollIntoViewIfNeeded()
  await chart.locator('.u-over').click({ position: { x: 300, y: 20 } })
  const until = performance.now() + handMs
  for (let turn = 0; performance.now() < until; turn++) {
    const part = Math.floor(turn / 12) % 4
    await page.mouse.wheel(part === 1 ? 60 : part === 3 ? -60 : 0, part === 0 ? -100 : part === 2 ? 100 : 0)
  }
}

/** Charts of a long recording in a real browser: time to draw it whole, and how smoothly it follows a hand. */
export async function smoothTrends(days: number): Promise<SmoothTrends> {
  const folder = mkdtempSync(join(tmpdir(), 'smooth-trends-'))
  let browser: Browser | null = null
  try {
    const { stationFile, lines } = await madeRecording(folder, days)
    const station = new Running('serve', '--station', stationFile, '--data', join(folder, 'data'), '--port', '0')
    const address = await station.address()
    browser = await startBrowser()
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
    await page.goto(`${address}/#/watch?replay=${recordingName}&window=run`)
    // A replay opens at its end: the engine first goes through all lines.
    const openedMs = performance.now()
    await page.getByRole('button', { name: 'Play again' }).waitFor({ timeout: 600_000 })
    const openMs = performance.now() - openedMs
    const draws: number[] = []
    for (let press = 0; press < presses; press++) {
      await page.getByRole('button', { name: 'Now', exact: true }).click()
      while ((await drawn(page)).loading || (await drawn(page)).spanMs > 3 * 3_600_000) await page.waitForTimeout(50)
      draws.push(await wholeRunMs(page))
    }
    const whole = await drawn(page)
    await browser.startTracing(page, { categories: ['toplevel', 'disabled-by-default-devtools.timeline'] })
    await moveAndZoom(page)
    const tasks = mainThreadTasks(await browser.stopTracing())
    const { size } = statSync(join(folder, 'data', `${recordingName}.flue.sqlite`))
    return {
      days,
      lines,
      megabytes: size / 1e6,
      openMs,
      leastDrawMs: Math.min(...draws),
      mostDrawMs: Math.max(...draws),
      longestTaskMs: tasks.reduce((most, { clockMs }) => Math.max(most, clockMs), 0),
      longestWorkMs: tasks.reduce((most, { workMs }) => Math.max(most, workMs), 0),
      over50Ms: [tasks.filter(({ clockMs }) => clockMs > 50).length, tasks.filter(({ workMs }) => workMs > 50).length],
      tasks: tasks.length,
      handSeconds: handMs / 1000,
      charts: whole.charts,
      points: whole.points,
      pixels: whole.pixels,
    }
  } finally {
    await browser?.close()
    await endAll()
    rmSync(folder, { recursive: true, force: true })
  }
}
