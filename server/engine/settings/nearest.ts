/** The known word that was most likely meant, or null: at most a third of the letters differ, upper and lower case count as the same; of a single letter nothing is known. */
export function nearest(word: string, known: Iterable<string>): string | null {
  if (word.length < 2) return null
  const wanted = word.toLowerCase()
  let best: string | null = null
  let least = Math.max(1, Math.floor(wanted.length / 3)) + 1
  for (const candidate of known) {
    if (Math.abs(candidate.length - wanted.length) >= least) continue
    const distance = lettersApart(wanted, candidate.toLowerCase())
    if (distance < least) {
      best = candidate
      least = distance
    }
  }
  return best
}

/** `; did you mean "co"?`, or nothing. */
export function didYouMean(word: string, known: Iterable<string>): string {
  const meant = nearest(word, known)
  return meant === null || meant === word ? '' : `; did you mean "${meant}"?`
}

/** Insertions, deletions, replacements and swaps of neighbours (optimal string alignment). */
function lettersApart(a: string, b: string): number {
  let beforeLast: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, place) => place)
  for (let row = 1; row <= a.length; row++) {
    const now = [row]
    for (let column = 1; column <= b.length; column++) {
      const same = a[row - 1] === b[column - 1]
      let least = Math.min(
        (last[column] ?? 0) + 1,
        (now[column - 1] ?? 0) + 1,
        (last[column - 1] ?? 0) + (same ? 0 : 1),
      )
      if (row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1])
        least = Math.min(least, (beforeLast[column - 2] ?? 0) + 1)
      now.push(least)
    }
    beforeLast = last
    last = now
  }
  return last[b.length] ?? 0
}
