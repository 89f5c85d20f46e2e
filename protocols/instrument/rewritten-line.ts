import { longestLineBytes } from './reader.ts'

const encoder = new TextEncoder()

/** A buffer of UTF-8 into which a form writes the values that it took from a line. Grows to the longest line, then stays. */
export class RewrittenLine {
  bytes: Uint8Array = new Uint8Array(2 * longestLineBytes)
  length = 0

  clear(): void {
    this.length = 0
  }

  /** Appends a text; it stands at [the length before, the length after). */
  write(text: string): void {
    // A character of UTF-16 takes three bytes of UTF-8 at most.
    if (this.length + 3 * text.length > this.bytes.length) {
      const larger = new Uint8Array(2 * (this.length + 3 * text.length))
      larger.set(this.bytes)
      this.bytes = larger
    }
    this.length += encoder.encodeInto(text, this.bytes.subarray(this.length)).written
  }
}
