/** A ready-made entry of the trade, and what can hurt where hands are used; the caution stands in the dialog. */
export interface ReadyEntry {
  readonly text: string
  readonly caution: string | null
}
const hot = 'Probe, hose and duct burn: heat-proof gloves, and let parts cool. Flue gas is toxic: wear a CO alarm.'
const rules = 'The site’s safety rules and the instrument’s manual come first.'
/** Beside the ready-made entries all at once, before one is chosen. */
export const noteCaution = `Before hands go to probe, filter or trap: parts burn, flue gas is toxic, condensate is acidic. ${rules}`
/** Source: common practice of sampling, no single one. */
export const readyEntries: readonly ReadyEntry[] = [
  {
    text: 'Filter changed',
    caution: `${hot} Filter dust can hold soot and metals: gloves, mask, closed bag. ${rules}`,
  },
  {
    text: 'Trap emptied',
    caution: `Condensate is acidic and may be hot: acid-proof gloves and eye protection; into a vessel, not onto the platform. ${rules}`,
  },
  { text: 'Load changed', caution: null },
  {
    text: 'Probe moved',
    caution: `${hot} Close the port while the probe is out; on a platform both hands free and tools secured. ${rules}`,
  },
  { text: 'Leak check done', caution: `${hot} ${rules}` },
]
export const transferWords = {
  about:
    'Shows that what is recorded is what the instrument shows: read its display now and type the figures. The tool compares them with the lines of the same seconds and keeps both in the logbook.',
  rule: 'They agree where the figure typed, within half a step of its last digit, meets what the lines said from 5 seconds before the press to 5 seconds after it, or three lines where they come less often. Our rule; a scheme may ask for another.',
} as const
