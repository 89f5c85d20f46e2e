import type { LayoutResult, SampledColumn } from './proposal.ts'
import type { SampleLine } from './sample.ts'

/** More columns than this have no place in a profile. */
export const mostColumns = 200
const deepest = 6

/** The leaves of an object by their paths: `gas.o2`, `cells.0`. Keys that a path cannot hold are left out. */
function leavesOf(value: unknown, path: string, depth: number, into: Map<string, string | null>): void {
  if (typeof value === 'object' && value !== null) {
    if (depth > deepest) return
    for (const [key, child] of Object.entries(value)) {
      if (into.size > mostColumns) return
      if (key === '' || (key.includes('.') && path !== '')) continue
      leavesOf(child, path === '' ? key : `${path}.${key}`, depth + 1, into)
    }
  } else into.set(path, value === null ? '' : String(value))
}

function objectIn(text: string): object | null {
  const start = text.trimStart()[0]
  if (start !== '{' && start !== '[') return null
  try {
    const value: unknown = JSON.parse(text)
    return typeof value === 'object' ? value : null
  } catch {
    // No JSON: the line does not fit this form.
    return null
  }
}

/** One JSON object a line. */
export function jsonLayout(lines: readonly SampleLine[]): LayoutResult {
  const rows = lines.flatMap(({ text }) => {
    const value = objectIn(text)
    if (value === null) return []
    const leaves = new Map<string, string | null>()
    leavesOf(value, '', 0, leaves)
    return [leaves]
  })
  if (rows.length * 2 < lines.length || rows.length === 0)
    return { form: 'json-lines', why: `${rows.length} of ${lines.length} lines are a JSON object` }
  const paths = [...new Set(rows.flatMap((leaves) => [...leaves.keys()]))].filter((path) => path.length <= 200)
  if (paths.length > mostColumns) return { form: 'json-lines', why: `more than ${mostColumns} values` }
  const columns = paths.map(
    (at): SampledColumn => ({ at, label: at, unitLabel: '', texts: rows.map((leaves) => leaves.get(at) ?? null) }),
  )
  return {
    form: 'json-lines',
    settings: {},
    columns,
    likeness: 1,
    guesses: [
      {
        what: 'form',
        value: 'json-lines',
        confidence: rows.length / lines.length,
        reason: `${rows.length} of ${lines.length} lines are a JSON object`,
      },
    ],
  }
}
