/** Why a reading of a channel does not count; 0 when it does. Kept in a byte per channel. */
export const countFlag = {
  counts: 0,
  missing: 1,
  overRange: 2,
  underRange: 3,
  unreadable: 4,
  absent: 5,
  outOfRange: 6,
  notMeasuring: 7,
  settling: 8,
  plantNotRunning: 9,
  supportOutOfRange: 10,
  instrumentFault: 11,
  noRun: 12,
  excluded: 13,
  interferentInvalid: 14,
} as const
export type CountFlag = (typeof countFlag)[keyof typeof countFlag]
