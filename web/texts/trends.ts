export const stretchWords = {
  title: 'Choose the stretch',
  about: 'Times are the station’s. The address then holds the stretch: a copied link shows the same.',
  wrong: 'Both times are needed, and the end must lie after the start.',
} as const
export const longRows = 'A row is longer than a block here: zoom in for block means.'
/** Of a column of pixels that holds several phases. */
export const mostly = (word: string): string => `Mostly ${word.toLowerCase()}`
export const legendTouch =
  'Drag over a stretch to zoom, or use Ctrl and wheel, the wheel alone on a chart that was clicked, or two fingers; back undoes. A channel’s name opens its figures as a table.'
