/** Keeps this screen from going dark while the page is looked at. */
export class Awake {
  private lock: WakeLockSentinel | null = null
  private wanted = false
  private readonly changed: () => void

  constructor(changed: () => void) {
    this.changed = changed
    // The browser lets go when the page is hidden; what was wished for holds again on return.
    document.addEventListener('visibilitychange', () => {
      if (this.wanted && document.visibilityState === 'visible') void this.ask()
    })
  }

  /** Browsers allow it on pages that came encrypted, or from the machine itself. */
  static get isPossible(): boolean {
    return 'wakeLock' in navigator
  }
  get isOn(): boolean {
    return this.lock !== null
  }

  async set(wanted: boolean): Promise<void> {
    this.wanted = wanted
    if (wanted) return this.ask()
    await this.lock?.release()
  }

  private async ask(): Promise<void> {
    if (this.lock !== null || !Awake.isPossible) return
    try {
      this.lock = await navigator.wakeLock.request('screen')
      this.lock.addEventListener('release', () => {
        this.lock = null
        this.changed()
      })
    } catch {
      // Refused, with a low battery for instance: the switch stays off, and that is what it shows.
    }
    this.changed()
  }
}
