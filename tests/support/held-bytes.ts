import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

/**
 * Bytes held once what nobody holds any more is let go of. Buffers are freed behind a collection, by a thread of its own that
 * a busy machine keeps waiting, and counted as free at the next one: so it is looked again until nothing more goes.
 * `enough`: what a test allows. What is above it gets ten seconds to go: garbage goes, what is held stays.
 */
export async function heldBytes(enough = Number.POSITIVE_INFINITY): Promise<number> {
  setFlagsFromString('--expose-gc')
  const collectGarbage = runInNewContext('gc') as () => void
  let least = Number.POSITIVE_INFINITY
  const sinceMs = performance.now()
  for (let unchanged = 0; unchanged < 3 || (least > enough && performance.now() - sinceMs < 10_000); ) {
    collectGarbage()
    await new Promise((resolve) => setTimeout(resolve, 20))
    const { heapUsed, external } = process.memoryUsage()
    unchanged = heapUsed + external < least - 100_000 ? 0 : unchanged + 1
    least = Math.min(least, heapUsed + external)
  }
  return least
}
