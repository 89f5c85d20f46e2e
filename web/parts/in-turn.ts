/** What a frame spends on it before the rest waits for the next one, ms: half a frame at 60 a second. */
const spentMs = 8
const waiting = new Set<() => void>()

function oneFrame(): void {
  const sinceMs = performance.now()
  for (const work of waiting) {
    waiting.delete(work)
    work()
    if (performance.now() - sinceMs > spentMs) break
  }
  if (waiting.size > 0) requestAnimationFrame(oneFrame)
}

/** Does something in one of the next frames, what was asked first first: work of several parts never stands in one task. Asked again before its turn, it is done once. */
export function inTurn(work: () => void): void {
  if (waiting.size === 0) requestAnimationFrame(oneFrame)
  waiting.add(work)
}
