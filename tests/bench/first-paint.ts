import { fileURLToPath } from 'node:url'
import { startBrowser } from '../support/a-browser.ts'
import { fixtureStation } from '../support/fixture-live.ts'

export interface FirstPaint {
  readonly loads: number
  /** Medians and the worst, from the start of the navigation, ms. */
  readonly paintMs: number
  readonly figuresMs: number
  readonly worstFiguresMs: number
}

const landmark = 'channel-figures'

/** A browser that has nothing in its cache opens the built dashboard: until something is painted, and until the figures stand there. */
export async function firstPaints(loads: number): Promise<FirstPaint> {
  const station = await fixtureStation({ web: fileURLToPath(new URL('../../dist/web', import.meta.url)) })
  const browser = await startBrowser()
  const paints: number[] = []
  const figures: number[] = []
  for (let load = 0; load < loads; load++) {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
    await page.goto(station.url)
    await page.locator(landmark).first().waitFor()
    figures.push(await page.evaluate(() => performance.now()))
    paints.push(
      await page.evaluate(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? Number.NaN),
    )
    await page.close()
  }
  await browser.close()
  await station.close()
  const sorted = (values: number[]) => values.sort((one, other) => one - other)
  const median = (values: number[]) => sorted(values)[Math.floor(values.length / 2)] as number
  return {
    loads,
    paintMs: median(paints),
    figuresMs: median(figures),
    worstFiguresMs: sorted(figures).at(-1) as number,
  }
}
