/**
 * How long to wait before the next attempt, in real ms. `failures`: attempts in a row that brought nothing; 0 after a link
 * that worked.
 */
export type RetryDelay = (failures: number) => number

const serialSeconds = [1, 2, 4, 5] as const
/** 1, 2, 4, 5, 5 … seconds: a port that is plugged in again is found soon, and looking costs little. */
export const serialRetry: RetryDelay = (failures) => 1000 * (serialSeconds[Math.max(0, failures - 1)] ?? 5)

/**
 * Half to all of 1, 2, 4 … 30 seconds. The spread keeps many clients of one peer from coming back at the same moment.
 * `jitter` gives 0…1.
 */
export const tcpRetry =
  (jitter: () => number): RetryDelay =>
  (failures) => {
    const most = Math.min(30, 2 ** Math.min(10, Math.max(0, failures - 1)))
    return 1000 * most * (0.5 + 0.5 * jitter())
  }

/** A night of failing attempts is told at the 1st, 2nd, 4th, 8th …: by change and in doubling steps, not each one. */
export const isToldAttempt = (attempt: number): boolean => (attempt & (attempt - 1)) === 0
