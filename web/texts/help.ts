/** The sheet of help. */
export const title = 'Help'
export const calculationsAbout = 'the published formulas, with sources and live inputs'
export const keys = 'Keys'
export const shortcuts: readonly (readonly [string, string])[] = [
  ['n', 'write a note, stamped with the moment of the press'],
  ['a', 'acknowledge the first alarm'],
  ['s', 'shelve the first alarm for a time'],
  ['1 … 7', 'Watch, Averages, Alarms, Logbook, Recordings, Set-up, Calculations'],
  ['f', 'far view: the state in letters for three metres; again to leave it'],
  ['← →', 'move the trends'],
  ['+ −', 'zoom the trends; with the mouse: drag over a stretch, Ctrl and wheel, or the wheel on a clicked chart'],
  ['b', 'only this block'],
  ['w', 'whole run'],
  ['0', 'now'],
  ['space', 'play or pause a replay'],
  ['?', 'this sheet'],
  ['Esc', 'close a dialog'],
]
export const patterns = 'Phases and their patterns'
export const gapMeaning = 'a gap; nothing is drawn or counted across it'
export const thisScreen = 'This screen'
export const terms = 'Terms'
