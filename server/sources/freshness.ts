/** When a source that gives no lines is closed and opened again. */
export interface FreshnessRule {
  readonly expectEverySeconds: number
  /** How many expected intervals of silence (default 5). */
  readonly intervals?: number
  /** Never less than this, real ms (default 10 s; 2 s while the station's clock runs faster than real time). */
  readonly leastMs?: number
}

/**
 * Real milliseconds without a line after which a source is reopened, however sound its handle looks. The expected interval
 * is station time, hence the speed. The factors are our choice: an instrument that averages over a few intervals is not
 * disturbed, and a dead adapter is found within a minute.
 */
export function silenceLimitMs(rule: FreshnessRule, speed: number): number {
  const least = rule.leastMs ?? (speed > 1 ? 2000 : 10_000)
  return Math.max(least, ((rule.intervals ?? 5) * rule.expectEverySeconds * 1000) / speed)
}

/** What came since the last line: it tells a dead line from a wrong setting. */
export class SilenceHints {
  #bytes = 0
  #carriageReturns = 0
  #odd = 0

  took(chunk: Uint8Array): void {
    this.#bytes += chunk.length
    for (const byte of chunk) {
      if (byte === 0x0d) this.#carriageReturns++
      else if (byte === 0 || byte > 0x7e || (byte < 0x20 && byte !== 0x09 && byte !== 0x0a)) this.#odd++
    }
  }

  reset(): void {
    this.#bytes = this.#carriageReturns = this.#odd = 0
  }

  text(limitMs: number): string {
    const seconds = `${Math.round(limitMs / 100) / 10} s`
    if (this.#bytes === 0) return `nothing came for ${seconds}; it is closed and opened again`
    const came = `${this.#bytes} bytes came, but no line for ${seconds}`
    if (this.#carriageReturns > 0)
      return `${came}; they hold CR: if the instrument ends its lines with CR, set lineEnd to "cr"`
    if (this.#odd * 4 > this.#bytes) return `${came}; many are no text: check baudRate, dataBits and parity`
    return `${came}; check lineEnd, and that the instrument sends whole lines`
  }
}
