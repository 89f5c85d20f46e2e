import type { Source, SourceEvent, SourceLine, SourceLink } from '../../server/sources/source.ts'
import { patienceMs } from './patience.ts'

/** A source that is open, with all that it told. */
export class HeardSource {
  readonly events: SourceEvent[] = []
  readonly lines: SourceLine[] = []
  readonly links: SourceLink[] = []
  readonly source: Source
  #waiting: (() => void)[] = []

  constructor(source: Source) {
    this.source = source
    source.open((event) => {
      this.events.push(event)
      if (event.kind === 'line') this.lines.push(event)
      else this.links.push(event)
      for (const look of this.#waiting) look()
    })
  }

  get states(): string[] {
    return this.links.map((link) => link.state)
  }

  /** `whole:12.5;99\n` and so on. */
  get pieces(): string[] {
    return this.lines.map((line) => `${line.piece}:${Buffer.from(line.bytes).toString('latin1')}`)
  }

  get bytes(): Buffer {
    return Buffer.concat(this.lines.map((line) => line.bytes))
  }

  /** Resolves when what is told makes this true; rejects with all that was told where it never does. */
  until(isSo: (heard: this) => boolean, what: string, withinMs = patienceMs): Promise<void> {
    return new Promise((resolve, reject) => {
      const limit = setTimeout(() => {
        const told = this.events
          .slice(-20)
          .map((event) => (event.kind === 'link' ? `${event.state} ${event.detail}` : event.piece))
        reject(new Error(`waited in vain until ${what}; told: ${told.join(' | ')}`))
      }, withinMs)
      const look = (): void => {
        if (!isSo(this)) return
        clearTimeout(limit)
        this.#waiting = this.#waiting.filter((other) => other !== look)
        resolve()
      }
      this.#waiting.push(look)
      look()
    })
  }

  close(): Promise<void> {
    return this.source.close()
  }
}
