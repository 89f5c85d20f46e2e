export const stretchWords = {
  title: 'Choose the stretch',
  about: 'Times are the station’s. The address then holds the stretch: a copied link shows the same.',
  wrong: 'Both times are needed, and the end must lie after the start.',
} as const
export const legendTouch =
  'Drag over a stretch to zoom, or use Ctrl and wheel, the wheel alone on a chart that was clicked, or two fingers; back undoes. A channel’s name opens its figures as a table.'
