import type { Phase } from '../../protocols/words/phases.ts'

/** What shades a stretch of time: a phase, `gap` where no line came, `excluded` by a person. Each has a motif of its own; measuring has none. */
export type Shade = Phase | 'gap' | 'excluded'
/** Side of a motif's tile in CSS pixels. */
export const tileSize = 8
/** The motif as a path in one tile, for charts and legends alike. */
export const shadeMotif: Readonly<Record<Shade, string>> = {
  measure: '',
  purge: 'M-2 10 10-2M-2 2 2-2M6 10 10 6',
  settle: 'M1 2h2M5 6h2',
  zero: 'M0 2h8M0 6h8',
  span: 'M2 0v8M6 0v8',
  standby: 'M4 2v4M2 4h4',
  fault: 'M0 0 8 8M8 0 0 8',
  unknown: 'M-2-2 10 10M6-2 10 2M-2 6 2 10M4 0v2',
  gap: 'M-2-2 10 10M6-2 10 2M-2 6 2 10',
  excluded: 'M0 4h8M4 0v8',
}
/** How strong a motif is drawn: what counts for least attention is faintest. */
export const shadeWidth: Readonly<Record<Shade, number>> = {
  measure: 0,
  purge: 1.2,
  settle: 1.2,
  zero: 1,
  span: 1,
  standby: 1,
  fault: 1.6,
  unknown: 1,
  gap: 0.6,
  excluded: 1.2,
}
