import type { After } from '../clock.ts'

export interface Polling {
  /** Sent as it stands, terminator included. */
  readonly send: string
  /** Station time. */
  readonly everySeconds: number
}

/** Sends the request in a moment and then at each interval, until the returned function is called. `speed`: station seconds per real second. */
export function startPolling(
  polling: Polling,
  send: (text: string) => void,
  after: After,
  speed: () => number,
): () => void {
  const ask = (): void => {
    cancel = after((polling.everySeconds * 1000) / speed(), ask)
    send(polling.send)
  }
  let cancel = after(0, ask)
  return () => cancel()
}
