/** The charts, and the ways to another stretch of time. */
export const title = 'Trends'
export const trendValueWords = { limits: 'as the limits are set', corrected: 'corrected', asRead: 'as read' } as const
export const wholeRun = 'Whole run'
export const last = (length: string): string => `Last ${length}`
export const held = '· held still; the recording goes on'
export const stretch = 'Stretch of time'
export const onlyThis = 'Only this'
export const onlyThisHint = 'Only the block that is running, or the one shown (b)'
export const wholeRunHint = 'From the run’s start (w)'
export const now = 'Now'
export const nowHint = 'The last two hours, moving along (0)'
export const chosen = 'From … to'
export const chosenHint = 'From and to, typed'
export const moveAndZoom = 'Move and zoom'
export const earlier = 'Earlier'
export const earlierHint = 'Earlier (←)'
export const later = 'Later'
export const laterHint = 'Later (→)'
export const zoomIn = 'Zoom in'
export const zoomInHint = 'Zoom in (+)'
export const zoomOut = 'Zoom out'
export const zoomOutHint = 'Zoom out (−)'
export const exclude = 'Exclude this stretch'
export const excludeHint = 'Take the stretch shown out of the averages'
export const values = 'Values'
export const laidOver = 'Laid over'
export const nothingLaidOver = 'nothing'

/** The chart, for whoever cannot see it. */
export const trendOf = (channel: string): string =>
  `Trend of ${channel}. Its figures as a table: press the name beside it. Arrow keys move, plus and minus zoom.`
export const phases = (said: string): string => `Phases: ${said}`
export const phaseFrom = (phase: string, time: string): string => `${phase} from ${time}`
export const limit = (value: string): string => `limit ${value}`
/** `shaded`: what is; empty where nothing but measuring is shown. */
export const legend = (shaded: string): string =>
  `Trace: lowest and highest of each pixel. Thick steps: means of valid blocks; dashed: running or invalid. ${shaded ? `Shaded: ${shaded}, named in the ribbon when there is room, else when zoomed in.` : ''} Lines with a flag: notes. Drag over a stretch to zoom, or use Ctrl and wheel, the wheel alone on a chart that was clicked, or two fingers; back undoes. A channel’s name opens its figures as a table.`

export const longRows = 'A row is longer than a block here: zoom in for block means.'
/** Of a column of pixels that holds several phases. */
export const mostly = (word: string): string => `Mostly ${word.toLowerCase()}`
