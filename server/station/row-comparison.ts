import type { AverageRow } from '../../protocols/words/blocks.ts'

/** Between two versions of the engine a number may differ by so much of itself: another order of the same sums. */
const mostRelative = 1e-12

const close = (a: number | null, b: number | null): boolean =>
  a === b || (a !== null && b !== null && Math.abs(a - b) <= mostRelative * Math.max(Math.abs(a), Math.abs(b)))

/** What a version of the engine that forms less leaves empty; it is then not compared. */
const mayBeUnknown = new Set<keyof AverageRow>(['detection', 'uncertainty'])

/**
 * What of an average differs from what is stored, by its names; empty where nothing does.
 *
 * `exactly`: both by the same version, so byte for byte. Otherwise numbers within a relative 1e-12, and what the storing
 * version did not form (detection, uncertainty, verdicts) not at all.
 */
export function rowDifferences(stored: AverageRow, recomputed: AverageRow, exactly: boolean): string[] {
  const names = Object.keys(recomputed) as (keyof AverageRow)[]
  return names.filter((name) => {
    const [was, is] = [stored[name], recomputed[name]]
    if (exactly) return JSON.stringify(was) !== JSON.stringify(is)
    if (mayBeUnknown.has(name) && was === null) return false
    if (name === 'verdicts' && stored.verdicts.length === 0) return false
    if (typeof is === 'number' || typeof was === 'number') return !close(was as number | null, is as number | null)
    return JSON.stringify(was) !== JSON.stringify(is)
  })
}
