/** How long anything is waited for, ms: only against hanging, far longer than it takes, also on a machine that does much else. */
export const patienceMs = 180_000
