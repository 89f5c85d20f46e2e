/** A source that waits for who stores its lines; closed, it waits no longer. */
export class Hold {
  readonly #hasRoom: () => Promise<void>
  #isClosed = false
  #wake = (): void => {}

  /** `hasRoom` resolves when more lines may come, however long that takes; it never rejects. */
  constructor(hasRoom: () => Promise<void> = async () => {}) {
    this.#hasRoom = hasRoom
  }

  wait(): Promise<void> {
    if (this.#isClosed) return Promise.resolve()
    return new Promise((resolve) => {
      this.#wake = resolve
      void this.#hasRoom().then(resolve)
    })
  }

  close(): void {
    this.#isClosed = true
    this.#wake()
  }
}
