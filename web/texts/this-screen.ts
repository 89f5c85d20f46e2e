/** How this screen looks and whether it stays lit. */
export const look = 'Look'
export const keepLit = 'Keep this screen lit'
export const cannotKeepLit =
  'This browser does not let a page keep the screen lit over a line that is not encrypted. Set it in the system’s own settings.'
export const print = 'Print this view'
