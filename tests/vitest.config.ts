import { defineConfig } from 'vitest/config'

/** Arrows, unit, standards and property tests: no process, no browser, no waiting. */
export default defineConfig({
  test: {
    root: `${import.meta.dirname}/..`,
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    // Only against hanging: no test measures time, and a machine may be busy.
    testTimeout: 30_000,
    reporters: ['default', './tests/plain-reporter.ts'],
  },
})
