import { defineConfig } from 'vitest/config'
import LongestFirst from './longest-first.ts'
import { patienceMs } from './support/patience.ts'
import { threadsMadeReady } from './support/threads-made-ready.ts'

/** End-to-end and browser tests: they drive the built command, pseudo-terminals and a real browser. */
export default defineConfig({
  test: {
    root: `${import.meta.dirname}/..`,
    include: ['tests/**/*.e2e.ts'],
    environment: 'node',
    globalSetup: ['tests/support/for-all-files.ts', 'tests/support/thread-files.ts'],
    alias: threadsMadeReady,
    pool: 'forks',
    // Each file leaves its process as it found it, so files share one: loading everything anew took a second for each.
    isolate: false,
    execArgv: ['--max-semi-space-size=64'],
    // Half of a file's time is waiting for what its processes do: two cores have room for three files.
    maxWorkers: 3,
    sequence: { sequencer: LongestFirst },
    // Only against hanging: a machine may be busy.
    testTimeout: 3 * patienceMs,
    hookTimeout: 3 * patienceMs,
    expect: { poll: { timeout: patienceMs } },
    reporters: ['default', './tests/plain-reporter.ts'],
  },
})
