import type { StationClock } from '../clock.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { openSource } from '../sources/open-source.ts'
import type { TimedPiece } from '../sources/playback.ts'
import type { Source } from '../sources/source.ts'
import { isRecording } from './is-recording.ts'
import { readLast } from './read-last.ts'
import { startSimulator } from './simulator-process.ts'

/** The lines of a recording; null where the file is a text log. */
function recordedPieces(path: string): Iterable<TimedPiece> | null {
  if (!isRecording(path)) return null
  return piecesOf(openRecording(path))
}

function* piecesOf(reader: RecordingReader): Generator<TimedPiece> {
  try {
    for (const event of reader.inputs())
      if (event.kind === 'line') yield { atMs: event.atMs, bytes: event.bytes, piece: event.piece }
  } finally {
    reader.close()
  }
}

/**
 * The sources of a station's streams, not opened yet; a simulator is started first and read through its link. `goesOn`: the
 * recording that is gone on with; a file that is read from its start goes on behind what stands in it.
 */
export async function sourcesOf(
  station: StationFile,
  clock: StationClock,
  log: (text: string) => void,
  hold: () => Promise<void>,
  goesOn: string | null,
): Promise<Source[]> {
  const sources: Source[] = []
  try {
    for (const stream of station.streams) sources.push(await sourceOf(stream, clock, log, hold, goesOn))
    return sources
  } catch (error) {
    await Promise.all(sources.map((source) => source.close())) // A simulator that was started must not outlive this.
    throw error
  }
}

async function sourceOf(
  stream: StationFile['streams'][number],
  clock: StationClock,
  log: (text: string) => void,
  hold: () => Promise<void>,
  goesOn: string | null,
): Promise<Source> {
  const { id: name, expectEverySeconds, poll } = stream
  const simulated = stream.source.kind === 'simulator' ? await startSimulator(stream.source, log) : null
  const settings = simulated?.link ?? stream.source
  const readsOn = goesOn !== null && settings.kind === 'file' && settings.from === 'start'
  const source = openSource(settings, {
    name,
    clock,
    expectEverySeconds,
    poll,
    hold,
    readLast: readsOn ? (readLast(goesOn, name) ?? undefined) : undefined,
    playback: { openRecording: recordedPieces },
  })
  if (!simulated) return source
  return {
    name: source.name,
    open: (listener) => source.open(listener),
    send: (text) => source.send(text),
    close: async () => {
      await source.close()
      await simulated.stop()
    },
  }
}
