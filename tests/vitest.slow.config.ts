import { defineConfig } from 'vitest/config'

/** End-to-end and browser tests: they drive the built command, pseudo-terminals and a real browser. */
export default defineConfig({
  test: {
    root: `${import.meta.dirname}/..`,
    include: ['tests/**/*.e2e.ts'],
    environment: 'node',
    globalSetup: 'tests/support/for-all-files.ts',
    pool: 'forks',
    // Each file has a station, a simulator and perhaps a browser running: more at once than two would starve each other.
    maxWorkers: 2,
    testTimeout: 120_000,
    hookTimeout: 120_000,
    reporters: ['default', './tests/plain-reporter.ts'],
  },
})
