/** On which side of its limit a result lies; `undecided`: within its uncertainty (JCGM 106:2012). */
export const verdicts = ['below', 'above', 'undecided'] as const
export type Verdict = (typeof verdicts)[number]

/** What is done with the uncertainty before a result is compared: nothing, taken off it, put on it. */
export const uncertaintyUses = ['ignore', 'subtract', 'add'] as const
export type UncertaintyUse = (typeof uncertaintyUses)[number]

export interface RowVerdict {
  /** Id of the limit. */
  readonly limit: string
  readonly verdict: Verdict
  /** What the station's decision rule makes of it; null: the rule needs the uncertainty, and none is known. */
  readonly complies: boolean | null
  /** What was compared, in the row's unit and before any rounding: the mean, or what stands for it where it is negative or below detection. */
  readonly result: number
}
