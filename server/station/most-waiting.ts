/** A source that can wait does so while more inputs than this are not stored, or not worked through, yet. */
export const mostWaiting = 20_000
/** So many inputs of sources that cannot wait are kept while there is no recording: two days and more of a line a second. */
export const mostKept = 200_000
