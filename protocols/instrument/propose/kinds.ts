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
