import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

/**
 * Bytes held once what nobody holds any more is let go of. Buffers are freed behind a collection, by a thread of its own that
 * a busy machine keeps waiting, and counted as free at the next one: so it is looked again until nothing more goes.
 */
export async function heldBytes(): Promise<number> {
  setFlagsFromString('--expose-gc')
  const collectGarbage = runInNewContext('gc') as () => void
  let least = Number.POSITIVE_INFINITY
  for (let unchanged = 0; unchanged < 3; ) {
    collectGarbage()
    await new Promise((resolve) => setTimeout(resolve, 20))
    const { heapUsed, external } = process.memoryUsage()
    unchanged = heapUsed + external < least - 100_000 ? 0 : unchanged + 1
    least = Math.min(least, heapUsed + external)
  }
  return least
}
