/** The state in letters for three metres. */
export const notSetUp = 'Not set up'
export const back = 'Back to Watch'
