import { z } from 'zod'

const ms = z.number()

/** A stretch that the operator takes out of the averages, [fromMs, toMs). null: all streams; all channels. */
export const exclusion = z.object({
  id: z.string(),
  fromMs: ms,
  toMs: ms,
  stream: z.string().nullable(),
  channel: z.string().nullable(),
  reason: z.string(),
})
export type Exclusion = Readonly<z.infer<typeof exclusion>>

/** One gas given to the instrument and what it showed, in the channel's unit. */
export const check = z.object({
  id: z.string(),
  kind: z.enum(['zero', 'span']),
  channel: z.string(),
  /** When the response was read off, station time. */
  performedMs: ms,
  /** What the gas holds; 0 for a zero gas, unless its certificate says otherwise. */
  expected: z.number(),
  /** What the instrument showed with the gas given through the whole sampling system. */
  response: z.number(),
  /** What it showed with the gas given to the analyser itself; null where that was not done. */
  direct: z.number().nullable(),
  /** Which gas: cylinder, certificate. */
  gas: z.string(),
})
export type Check = Readonly<z.infer<typeof check>>

/** What was said of a run, often after it: known to the engine from the start when a recording is computed again. */
export interface Amendments {
  readonly exclusions: readonly (Exclusion & { readonly by: string; readonly toldMs: number })[]
  readonly checks: readonly (Check & { readonly by: string; readonly toldMs: number })[]
}

export const noAmendments: Amendments = { exclusions: [], checks: [] }
