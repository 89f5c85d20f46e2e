import { css, html, LitElement } from 'lit'

const politeEveryMs = 10_000

/** What a screen reader is told: the state at most once in ten seconds, alarms at once. */
export class SpokenWords extends LitElement {
  static override properties = { state: { type: String }, alarm: { type: String }, tick: { type: Number } }
  static override styles =
    css`:host { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }`
  declare state: string
  declare alarm: string
  /** Goes up with each draw, so that what had to wait is said. */
  declare tick: number
  private said = ''
  private saidMs = Number.NEGATIVE_INFINITY
  constructor() {
    super()
    this.state = ''
    this.alarm = ''
    this.tick = 0
  }

  override render() {
    const now = performance.now()
    if (this.state !== this.said && now - this.saidMs >= politeEveryMs) {
      this.said = this.state
      this.saidMs = now
    }
    return html`<p role="status" aria-live="polite">${this.said}</p><p role="alert" aria-live="assertive">${this.alarm}</p>`
  }
}
customElements.define('spoken-words', SpokenWords)
