/** So long an average waits for the next zero; then it is final with the last one, and says so. Bounds what must be remembered. Our choice. */
export const longestHoldMs = 86_400_000
