import { byte } from '../bytes.ts'
import { decodeText, type Encoding } from '../text-encoding.ts'
import { isNumeric } from './numbers.ts'
import type { LayoutResult, SampledColumn } from './proposal.ts'
import type { SampleLine } from './sample.ts'

interface Range {
  readonly from: number
  readonly end: number
}

/** Stretches of columns where something stands in at least one line of a hundred. */
function rangesOf(lines: readonly SampleLine[], width: number): Range[] {
  const filled = new Uint32Array(width)
  for (const { bytes } of lines)
    for (let at = 0; at < Math.min(bytes.length, width); at++)
      if (bytes[at] !== byte.blank) filled[at] = (filled[at] as number) + 1
  const least = Math.max(1, Math.floor(lines.length / 100))
  const ranges: Range[] = []
  let from = -1
  for (let at = 0; at <= width; at++) {
    const isFilled = at < width && (filled[at] as number) >= least
    if (isFilled && from < 0) from = at
    if (!isFilled && from >= 0) {
      ranges.push({ from, end: at })
      from = -1
    }
  }
  return ranges
}

/** Columns of bytes, flush right where they hold numbers. */
export function fixedLayout(lines: readonly SampleLine[], encoding: Encoding): LayoutResult {
  const no = (why: string): LayoutResult => ({ form: 'fixed-width', why })
  const lengths = new Map<number, number>()
  for (const { bytes } of lines) lengths.set(bytes.length, (lengths.get(bytes.length) ?? 0) + 1)
  const [width, times] = [...lengths].sort(([, one], [, other]) => other - one)[0] ?? [0, 0]
  if (times * 10 < lines.length * 8 || lines.length < 3) return no(`${times} of ${lines.length} lines are equally long`)
  const alike = lines.filter(({ bytes }) => bytes.length === width)
  const ranges = rangesOf(alike, width)
  if (ranges.length < 2) return no('no column of blanks runs through the lines')
  if (ranges.length > 100) return no('more than 100 columns')

  let raggedNumbers = 0
  const columns = ranges.map((range, place): SampledColumn => {
    const text = (bytes: Uint8Array, from: number) => decodeText(bytes, from, range.end, encoding).trim()
    const own = alike.map(({ bytes }) => text(bytes, range.from))
    const isNumber = own.filter((each) => isNumeric(each)).length * 2 > own.length
    if (isNumber && new Set(own.map((each) => each.length)).size > 1) raggedNumbers++
    // Numbers grow to the left: the blanks before them are theirs.
    const from = isNumber ? (ranges[place - 1]?.end ?? 0) : range.from
    return { at: { from, length: range.end - from }, label: '', unitLabel: '', texts: own }
  })
  return {
    form: 'fixed-width',
    settings: {},
    columns,
    likeness: raggedNumbers > 0 ? 0.75 : 0.4,
    guesses: [
      {
        what: 'form',
        value: `fixed columns, ${width} bytes`,
        confidence: times / lines.length,
        reason: `${times} of ${lines.length} lines are ${width} bytes long, and ${ranges.length} columns stand under each other`,
      },
    ],
  }
}
