/** What all dialogs share that ask for a name and a note. */
export const name = 'Name'
export const readyNotes = 'Ready-made notes'
export const needed = 'Needed: '
export const mayStayEmpty = 'Note (may stay empty)'
export const tellIt = 'Tell it'
export const to = 'To'
