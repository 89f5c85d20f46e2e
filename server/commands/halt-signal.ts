/** A terminal and npm may both hand on one Ctrl-C: a repeat this soon is the same press, ms. */
const samePressMs = 500

/**
 * Aborts at SIGINT or SIGTERM; a second press ends the process at once.
 * A process that another one started over a channel ends with it, even where that one had no time to say so.
 */
export function haltSignal(): AbortSignal {
  const { halt } = listen()
  process.once('disconnect', () => halt.abort())
  process.channel?.unref() // Listened to, yet no reason to go on when all is done.
  return halt.signal
}

/** Work that a press stops in order. Before it and behind it a press ends the process at once, as one expects of what has nothing to put away. */
export async function haltable<T>(work: (halt: AbortSignal) => Promise<T>): Promise<T> {
  const { halt, end } = listen()
  try {
    return await work(halt.signal)
  } finally {
    end()
  }
}

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
