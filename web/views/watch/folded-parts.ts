import type { Shade } from '../../parts/phase-pattern.ts'
import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import { mostly } from '../../texts/trends.ts'

/** What must be seen however short it is. The phases of a cycle (purge, settling, zero) follow each other all day. */
const neverLost: ReadonlySet<Shade> = new Set<Shade>(['fault', 'unknown', 'gap', 'excluded'])

/**
 * Parts as a picture can show them. What is as wide as a pixel stays as it is. Narrower ones that share a column of pixels
 * become one part of what took most of its time, with a word that says so; a fault, a gap and what was excluded are marked
 * in their column besides, so that none vanishes. Parts come in order of their start; `columnMs`: the time of a pixel.
 */
export function foldedParts(parts: readonly RibbonPart[], columnMs: number): RibbonPart[] {
  const folded: RibbonPart[] = []
  const marked = new Map<string, number>()
  let open = null as Column | null
  const close = () => {
    if (open) place(folded, open)
    open = null
  }
  for (const part of parts) {
    const column = Math.floor(part.startMs / columnMs)
    const isWide = part.endMs - part.startMs >= columnMs
    if (!isWide && neverLost.has(part.shade)) {
      const key = `${part.shade} ${part.channel ?? ''}`
      if (marked.get(key) !== column) folded.push({ ...part, isMark: true })
      marked.set(key, column)
    }
    // What is excluded of one channel lies over the phases of its stream.
    if (part.channel !== undefined) {
      if (isWide) folded.push(part)
      continue
    }
    if (isWide) {
      close()
      folded.push(part)
      continue
    }
    if (open?.column !== column) close()
    open ??= { column, startMs: part.startMs, endMs: part.endMs, of: new Map() }
    open.endMs = part.endMs
    const before = open.of.get(part.shade)
    open.of.set(part.shade, { word: part.word, ms: (before?.ms ?? 0) + part.endMs - part.startMs })
  }
  close()
  return folded
}

interface Column {
  readonly column: number
  readonly startMs: number
  endMs: number
  readonly of: Map<Shade, { readonly word: string; readonly ms: number }>
}

/** A column that is closed; it goes on with the one before where both say the same and nothing lies between. */
function place(folded: RibbonPart[], { startMs, endMs, of }: Column): void {
  const [most] = [...of].sort(([, one], [, other]) => other.ms - one.ms)
  if (!most) return
  const [shade, { word }] = most
  const part = { shade, word: of.size > 1 ? mostly(word) : word, startMs, endMs }
  const before = folded.findLastIndex(({ isMark, channel }) => !isMark && channel === undefined)
  const last = folded[before]
  if (last?.isFolded && last.shade === shade && last.word === part.word && last.endMs === startMs)
    folded[before] = { ...last, endMs }
  else folded.push({ ...part, isFolded: true })
}
