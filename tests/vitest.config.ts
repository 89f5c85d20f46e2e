import { defineConfig } from 'vitest/config'
import { patienceMs } from './support/patience.ts'
import { threadsMadeReady } from './support/threads-made-ready.ts'

/** Arrows, unit, standards and property tests: no process, no browser, no waiting. */
export default defineConfig({
  test: {
    root: `${import.meta.dirname}/..`,
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    globalSetup: 'tests/support/thread-files.ts',
    alias: threadsMadeReady,
    // What is tested here keeps no state of its own, so files share a process: loading everything anew for each took longer than the tests.
    isolate: false,
    // Tests make much that is soon gone: with more room for it an eighth less of the processor goes into collecting it.
    execArgv: ['--max-semi-space-size=64'],
    maxWorkers: 2,
    // Only against hanging: no test measures time, and a machine may be busy.
    testTimeout: patienceMs,
    hookTimeout: patienceMs,
    reporters: ['default', './tests/plain-reporter.ts'],
  },
})
