const shortestBetweenMs = 150
const agesEveryMs = 1000

/**
 * Decides when the page draws: at most once per frame and a few times a second, never while hidden, once on return.
 * Between messages it draws each second while visible, since ages grow; what is drawn is always worked out anew from
 * the state and the clock, so a timer that is late or never fires makes nothing wrong.
 */
export class DrawGate {
  private due = false
  private lastMs = Number.NEGATIVE_INFINITY
  private waiting: ReturnType<typeof setTimeout> | undefined
  private asked = 0
  private ageing: ReturnType<typeof setInterval> | null = null
  private readonly onVisibility = () => this.visibilityChanged()

  constructor(
    private readonly draw: () => void,
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
      this.draw()
    })
  }

  private visibilityChanged(): void {
    if (this.ageing !== null) clearInterval(this.ageing)
    this.ageing = null
    // What was about to be drawn is dropped: on return it would be drawn beside the one draw that is asked for then.
    this.drop()
    if (document.hidden) return
    this.ageing = setInterval(() => this.request(), agesEveryMs)
    this.onReturn()
    this.request()
  }

  private drop(): void {
    clearTimeout(this.waiting)
    cancelAnimationFrame(this.asked)
    this.due = false
  }

  close(): void {
    this.drop()
    if (this.ageing !== null) clearInterval(this.ageing)
    document.removeEventListener('visibilitychange', this.onVisibility)
  }
}
