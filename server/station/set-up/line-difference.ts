export interface DifferenceLine {
  readonly kind: 'same' | 'old' | 'new' | 'cut'
  readonly text: string
}

/** Equal lines beside a change that are shown; the rest of a stretch is cut down to how many there are. */
const around = 2
/** Larger files are told as a whole: old, then new. The table below has so many cells at most. */
const mostCells = 4_000_000

/** The shortest way from the old lines to the new ones, line by line. */
export function lineDifference(before: string, after: string): DifferenceLine[] {
  const old = before === '' ? [] : before.trimEnd().split('\n')
  const fresh = after === '' ? [] : after.trimEnd().split('\n')
  let head = 0
  while (head < old.length && head < fresh.length && old[head] === fresh[head]) head++
  let tail = 0
  while (tail < old.length - head && tail < fresh.length - head && old.at(-1 - tail) === fresh.at(-1 - tail)) tail++
  const lines: DifferenceLine[] = [
    ...same(old.slice(0, head)),
    ...changes(old.slice(head, old.length - tail), fresh.slice(head, fresh.length - tail)),
    ...same(tail > 0 ? old.slice(-tail) : []),
  ]
  return cutDown(lines)
}

const same = (lines: readonly string[]): DifferenceLine[] => lines.map((text) => ({ kind: 'same', text }))

/** By the longest common subsequence, found from the end. */
function changes(old: readonly string[], fresh: readonly string[]): DifferenceLine[] {
  const width = fresh.length + 1
  if ((old.length + 1) * width > mostCells)
    return [
      ...old.map((text): DifferenceLine => ({ kind: 'old', text })),
      ...fresh.map((text): DifferenceLine => ({ kind: 'new', text })),
    ]
  const common = new Uint16Array((old.length + 1) * width)
  for (let row = old.length - 1; row >= 0; row--)
    for (let column = fresh.length - 1; column >= 0; column--)
      common[row * width + column] =
        old[row] === fresh[column]
          ? (common[(row + 1) * width + column + 1] as number) + 1
          : Math.max(common[(row + 1) * width + column] as number, common[row * width + column + 1] as number)
  const lines: DifferenceLine[] = []
  let row = 0
  let column = 0
  while (row < old.length || column < fresh.length) {
    if (row < old.length && column < fresh.length && old[row] === fresh[column]) {
      lines.push({ kind: 'same', text: old[row] as string })
      row++
      column++
    } else if (
      column >= fresh.length ||
      (row < old.length &&
        (common[(row + 1) * width + column] as number) >= (common[row * width + column + 1] as number))
    )
      lines.push({ kind: 'old', text: old[row++] as string })
    else lines.push({ kind: 'new', text: fresh[column++] as string })
  }
  return lines
}

function cutDown(lines: readonly DifferenceLine[]): DifferenceLine[] {
  const isNear = lines.map((_, at) =>
    lines.slice(Math.max(0, at - around), at + around + 1).some(({ kind }) => kind !== 'same'),
  )
  const shown: DifferenceLine[] = []
  let cut = 0
  const flush = (): void => {
    if (cut > 0) shown.push({ kind: 'cut', text: `${cut} equal lines` })
    cut = 0
  }
  for (const [at, line] of lines.entries()) {
    if (!isNear[at]) {
      cut++
      continue
    }
    flush()
    shown.push(line)
  }
  flush()
  return shown
}
