/** So many lines of a kind, and so many changes from one to another, are no change of a status. */
const fewestOfKind = 4
const mostKinds = 12

/** Whether lines that begin with different words follow each other in turn, as `GAS,…` and `ENV,…`: a status stays for some lines. */
export function areInTurn(texts: readonly string[]): boolean {
  const words = texts.map((text) => /^[^,;=:{ \t]{2,12}(?=[,; \t])/.exec(text)?.[0] ?? '')
  const counts = new Map<string, number>()
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1)
  const kinds = [...counts].filter(([word, count]) => /\p{L}/u.test(word) && count >= fewestOfKind)
  const told = kinds.reduce((sum, [, count]) => sum + count, 0)
  const changes = words.filter((word, place) => place > 0 && word !== words[place - 1]).length
  return kinds.length >= 2 && kinds.length <= mostKinds && told * 10 >= texts.length * 8 && changes * 2 > texts.length
}

/** The word before the first comma, semicolon or blank, where a few such words begin all lines; empty where lines are not of several kinds. */
export function kindsOf(texts: readonly string[]): { word: string; count: number }[] {
  const counts = new Map<string, number>()
  for (const text of texts) {
    const word = /^[^,; \t]{2,12}(?=[,; \t])/.exec(text)?.[0]
    if (word !== undefined && /\p{L}/u.test(word)) counts.set(word, (counts.get(word) ?? 0) + 1)
  }
  const kinds = [...counts].map(([word, count]) => ({ word, count })).sort((one, other) => other.count - one.count)
  const told = kinds.reduce((sum, { count }) => sum + count, 0)
  return kinds.length >= 2 && kinds.length <= 50 && told * 10 >= texts.length * 8 ? kinds.slice(0, 8) : []
}
