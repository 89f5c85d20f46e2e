const mostRows = 60
const lengths = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 43_200, 86_400, 172_800]

/** The shortest round step that gives at most sixty rows, ms. */
export const stepFor = (spanMs: number): number =>
  (lengths.find((seconds) => spanMs / (seconds * 1000) <= mostRows) ??
    Math.ceil(spanMs / 86_400_000 / mostRows) * 86_400) * 1000
