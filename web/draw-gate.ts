const shortestBetweenMs = 150
const agesEveryMs = 1000

/**
 * Decides when the page draws: at most once per frame and a few times a second, never while hidden, once on return.
 * Between messages it draws each second while visible, since ages grow; sooner where `draw` answers that what it drew
 * is true for so many milliseconds only. What is drawn is always worked out anew from the state and the clock, so a
 * timer that is late or never fires makes nothing wrong.
 */
export class DrawGate {
  private due = false
  private lastMs = Number.NEGATIVE_INFINITY
  private waiting: ReturnType<typeof setTimeout> | undefined
  private asked = 0
  private ageing: ReturnType<typeof setTimeout> | undefined
  private readonly onVisibility = () => this.visibilityChanged()

  constructor(
    private readonly draw: () => number,
    private readonly onReturn: () => void,
  ) {
    document.addEventListener('visibilitychange', this.onVisibility)
    this.visibilityChanged()
  }

  request(): void {
    if (this.due || document.hidden) return
    this.due = true
    const waitMs = this.lastMs + shortestBetweenMs - performance.now()
    if (waitMs > 0) this.waiting = setTimeout(() => this.frame(), waitMs)
    else this.frame()
  }

  private frame(): void {
    this.asked = requestAnimationFrame(() => {
      this.due = false
      this.lastMs = performance.now()
      clearTimeout(this.ageing)
      let nextMs = agesEveryMs
      try {
        nextMs = Math.min(nextMs, this.draw())
      } finally {
        this.ageing = setTimeout(() => this.request(), nextMs)
      }
    })
  }

  private visibilityChanged(): void {
    // What was about to be drawn is dropped: on return it would be drawn beside the one draw that is asked for then.
    this.drop()
    if (document.hidden) return
    this.onReturn()
    this.request()
  }

  private drop(): void {
    clearTimeout(this.waiting)
    clearTimeout(this.ageing)
    cancelAnimationFrame(this.asked)
    this.due = false
  }

  close(): void {
    this.drop()
    document.removeEventListener('visibilitychange', this.onVisibility)
  }
}
