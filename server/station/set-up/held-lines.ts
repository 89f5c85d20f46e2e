import type { SourceEvent, SourceLine } from '../../sources/source.ts'

/** So many lines are held for a proposal: at most 2 MB. */
export const mostHeld = 500

/** The newest lines of one source, in a ring; what is older falls out. O(1) per line. */
export class HeldLines {
  count = 0
  link: 'opening' | 'open' | 'lost' | 'silent' | 'refused' | 'ended' = 'opening'
  detail = ''
  private readonly ring: SourceLine[] = []

  take(event: SourceEvent): void {
    if (event.kind === 'link') {
      this.link = event.state
      this.detail = event.detail
      return
    }
    this.ring[this.count % mostHeld] = event
    this.count++
  }

  /** Oldest first, with the number of each. */
  lines(): readonly { readonly number: number; readonly line: SourceLine }[] {
    const from = Math.max(0, this.count - mostHeld)
    return Array.from({ length: this.count - from }, (_, at) => ({
      number: from + at + 1,
      line: this.ring[(from + at) % mostHeld] as SourceLine,
    }))
  }

  /** Whole lines, as a profile reads them. */
  whole(): SourceLine[] {
    return this.lines().flatMap(({ line }) => (line.piece === 'whole' ? [line] : []))
  }

  /** Median time between lines, seconds; null until three came. Lines of one burst, as a file’s, tell nothing. */
  everySeconds(): number | null {
    const lines = this.whole()
    const steps = lines.slice(1).map(({ monotonicMs }, at) => monotonicMs - (lines[at]?.monotonicMs ?? monotonicMs))
    if (steps.length < 2) return null
    const median = steps.sort((one, other) => one - other)[Math.floor(steps.length / 2)] ?? 0
    return median < 20 ? null : Math.round(median / 10) / 100
  }
}
