import { z } from 'zod'
import type { Chance } from './random.ts'

const allowed = 'a number, { "uniform": [low, high] } or { "normal": { "mean", "standardDeviation" } }'

/** What a parameter is drawn from: a fixed number, an even spread, or a normal one. */
export const distribution = z
  .union(
    [
      z.number(),
      z.strictObject({
        uniform: z.tuple([z.number(), z.number()]).refine(([low, high]) => low <= high, 'the lower end comes first'),
      }),
      z.strictObject({ normal: z.strictObject({ mean: z.number(), standardDeviation: z.number().min(0) }) }),
    ],
    allowed,
  )
  .describe(allowed)
export type Distribution = z.infer<typeof distribution>

/** One draw; a fixed number takes none from the stream. */
export function draw(from: Distribution, by: Chance): number {
  if (typeof from === 'number') return from
  if ('uniform' in from) return from.uniform[0] + (from.uniform[1] - from.uniform[0]) * by.uniform()
  return from.normal.mean + from.normal.standardDeviation * by.normal()
}

/** Noise that remembers: mean 0, the standard deviation and the time after which it has forgotten to 1/e. */
export interface Wander {
  next(stepSeconds: number): number
}

/** An Ornstein-Uhlenbeck process, stepped exactly: any step gives the same spread. */
export function wander(standardDeviation: number, forgetSeconds: number, by: Chance): Wander {
  let value = standardDeviation * by.normal()
  let forStep = Number.NaN
  let keep = 0
  let add = 0
  return {
    next(stepSeconds) {
      if (stepSeconds !== forStep) {
        forStep = stepSeconds
        keep = Math.exp(-stepSeconds / forgetSeconds)
        add = standardDeviation * Math.sqrt(1 - keep * keep)
      }
      value = value * keep + add * by.normal()
      return value
    },
  }
}
