import { writeFileSync } from 'node:fs'
import type { Reporter, TestModule } from 'vitest/node'

interface Tally {
  passed: number
  failed: number
  skipped: number
}

/**
 * Ends a run with one line that a script can read: `N passed, N failed`, and `, N skipped` where any was.
 * With FLUELEDGER_TALLY set the counts go to that file as JSON instead, for a sum over several runs.
 */
export default class PlainReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const counts = tally(modules)
    counts.failed += unhandled.length
    const file = process.env.FLUELEDGER_TALLY
    if (file) writeFileSync(file, JSON.stringify(counts))
    else process.stdout.write(`${closingLine(counts)}\n`)
  }
}

/** A module that does not load, and a hook that fails for a whole group, are one failure each: their tests never ran. */
function tally(modules: readonly TestModule[]): Tally {
  const counts: Tally = { passed: 0, failed: 0, skipped: 0 }
  for (const module of modules) {
    counts.failed += module.errors().length
    for (const suite of module.children.allSuites()) counts.failed += suite.errors().length
    for (const test of module.children.allTests()) {
      const { state } = test.result()
      // A test that is still pending when the run ends was cut off: that is no success.
      if (state === 'passed' || state === 'skipped') counts[state] += 1
      else counts.failed += 1
    }
  }
  return counts
}

const closingLine = ({ passed, failed, skipped }: Tally): string =>
  `${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`
