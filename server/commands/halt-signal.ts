import { isatty } from 'node:tty'

/** A terminal and npm may both hand on one Ctrl-C: a repeat this soon is the same press, ms. */
const samePressMs = 500

/**
 * Aborts at SIGINT or SIGTERM, and where the terminal that it was started from is closed; a second press ends the process
 * at once. Started without a terminal, as by `nohup` or a service, it outlives the closing of one: Node forgets that the
 * signal for that was to be ignored.
 * A process that another one started over a channel ends with it, even where that one had no time to say so.
 */
export function haltSignal(): AbortSignal {
  const { halt } = listen()
  const isOnTerminal = [0, 1, 2].some((handle) => isatty(handle))
  process.on('SIGHUP', () => {
    if (isOnTerminal) halt.abort()
  })
  process.once('disconnect', () => halt.abort())
  process.channel?.unref() // Listened to, yet no reason to go on when all is done.
  return halt.signal
}

/**
 * Work that SIGINT and SIGTERM stop in order. Before it and behind it a press ends the process at once, as one expects of what
 * has nothing to put away.
 */
export async function haltable<T>(work: (halt: AbortSignal) => Promise<T>): Promise<T> {
  const { halt, end } = listen()
  try {
    return await work(halt.signal)
  } finally {
    end()
  }
}

/** A press aborts `halt`; a second one ends the process at once. Until `end` is called. */
function listen(): { readonly halt: AbortController; end(): void } {
  const halt = new AbortController()
  let pressed = Number.NEGATIVE_INFINITY
  const press = (): void => {
    const now = performance.now()
    if (halt.signal.aborted && now - pressed > samePressMs) process.exit(130)
    if (!halt.signal.aborted) pressed = now
    halt.abort()
  }
  process.on('SIGINT', press)
  process.on('SIGTERM', press)
  return {
    halt,
    end() {
      process.off('SIGINT', press)
      process.off('SIGTERM', press)
    },
  }
}
