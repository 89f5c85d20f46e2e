/** Texts of the set-up’s choice of streams. */
export const streamTexts = {
  choose: 'Stream that the steps show',
  add: 'Add another stream',
  addHint: 'for a second instrument, as one at the outlet or one for flow or moisture',
  name: 'Name of this stream in exports',
  nameHint: 'lower-case letters, digits, - and _; its channels name it',
  remove: 'Remove this stream',
  removes: (stream: string, channels: readonly string[]): string =>
    `“${stream}” goes, with ${channels.length === 0 ? 'no channel' : `its channels (${channels.join(', ')}) and their limits`}. Nothing is written before you look it over.`,
  removeNow: 'Yes, remove it',
  keep: 'Keep it',
  unnamed: 'without a name',
  everyOf: (stream: string): string => `“A line every … seconds” is that of the stream “${stream}”.`,
  otherKind: (kind: string): string =>
    `This stream’s source is of the kind “${kind}”, which cannot be listened to here. Its settings stand under All settings, Streams. Choose another kind above to replace it.`,
} as const
