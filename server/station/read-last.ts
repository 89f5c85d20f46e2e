import { openRecording } from '../recording/recording-reader.ts'

const mostBytes = 64 * 1024
/** So many of the newest inputs are looked through first. */
const newestInputs = 20_000

/** The bytes that a stream's source gave last, up to 64 KiB, since its link was lost last; null where it gave none. */
export function readLast(path: string, stream: string): Buffer | null {
  const reader = openRecording(path)
  try {
    const { lastSequence } = reader.extent()
    for (const afterSequence of [Math.max(0, lastSequence - newestInputs), 0]) {
      let pieces: Uint8Array[] = []
      let bytes = 0
      for (const event of reader.inputs({ afterSequence })) {
        if (event.kind === 'link' && event.stream === stream && event.state === 'lost') {
          pieces = []
          bytes = 0
        }
        if (event.kind !== 'line' || event.stream !== stream) continue
        pieces.push(event.bytes)
        bytes += event.bytes.length
        if (bytes > 2 * mostBytes) {
          pieces = [Buffer.concat(pieces).subarray(-mostBytes)]
          bytes = mostBytes
        }
      }
      if (bytes > 0) return Buffer.concat(pieces).subarray(-mostBytes)
    }
    return null
  } finally {
    reader.close()
  }
}
