import type { Page } from 'playwright-core'

/** The least side of what a glove presses, px (docs/watching-the-night: "at night and in gloves"). Half a pixel is left to rounding. */
const leastTargetPx = 47.5

/**
 * What of the controls on the screen could not be read or pressed, one line each: a text that is wider than its button,
 * cell or list, and a target that is smaller than a glove needs. A list is measured by its widest choice: any may stand
 * in it. A link within a sentence is as high as its line (WCAG 2.2, 2.5.8, lets it), and a box is pressed by its label.
 */
export const illegible = (page: Page): Promise<string[]> =>
  page.evaluate((least) => {
    const found = new Set<string>()
    const every = (root: Document | ShadowRoot): Element[] =>
      [...root.querySelectorAll('*')].flatMap((one) => [one, ...(one.shadowRoot ? every(one.shadowRoot) : [])])
    const name = (one: Element) => {
      const host = (one.getRootNode() as ShadowRoot).host?.localName ?? ''
      return `${host} ${one.localName} “${(one.getAttribute('aria-label') ?? one.textContent ?? '').trim().replace(/\s+/g, ' ').slice(0, 50)}”`
    }
    /** As wide as its content asks, whatever its surroundings leave. */
    const wished = (one: HTMLElement): number => {
      const was = one.style.cssText
      one.style.cssText = `${was};width:max-content;min-width:0;max-width:none;flex:none`
      const width = one.offsetWidth
      one.style.cssText = was
      return width
    }
    for (const one of every(document)) {
      if (!(one instanceof HTMLElement) || !one.checkVisibility({ visibilityProperty: true })) continue
      const box = one.getBoundingClientRect()
      if (box.width < 2 || box.height < 2) continue
      const style = getComputedStyle(one)
      const isCut =
        one.matches('button, .button, th, td, summary, legend') &&
        style.display !== 'inline' &&
        one.scrollWidth > one.clientWidth + 1
      if (isCut) found.add(`${name(one)}: text ${one.scrollWidth} px, room ${one.clientWidth} px`)
      if (one instanceof HTMLSelectElement && wished(one) > one.offsetWidth + 1)
        found.add(`${name(one)}: its widest choice needs ${wished(one)} px, it has ${one.offsetWidth} px`)
      if (!one.matches('a[href], button, select, input, summary, textarea')) continue
      if (one.matches('a') && style.display === 'inline') continue
      const isBox = one instanceof HTMLInputElement && (one.type === 'checkbox' || one.type === 'radio')
      const pressed = (isBox ? (one.labels?.[0] ?? one) : one).getBoundingClientRect()
      if (pressed.width < least || pressed.height < least)
        found.add(`${name(one)}: ${Math.round(pressed.width)} × ${Math.round(pressed.height)} px`)
    }
    return [...found]
  }, leastTargetPx)
