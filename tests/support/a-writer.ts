import type { RecordingWriter } from '../../server/recording/recording.ts'

/** The same writer, but for what `differs` does in its place. */
export const aWriterBut = (writer: RecordingWriter, differs: Partial<RecordingWriter>): RecordingWriter => ({
  path: writer.path,
  append: (input) => writer.append(input),
  derive: (rows) => writer.derive(rows),
  deriveAnew: (noted) => writer.deriveAnew(noted),
  derivedWhole: () => writer.derivedWhole(),
  storedUpTo: () => writer.storedUpTo(),
  onChange: (listener) => writer.onChange(listener),
  isNearlyFull: writer.isNearlyFull,
  flush: () => writer.flush(),
  close: () => writer.close(),
  ...differs,
})
