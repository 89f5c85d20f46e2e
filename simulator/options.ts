import { z } from 'zod'

/** `stdout`, `file:PATH`, `tcp:PORT` (0: any free port) or `serial:PATH`. */
export type Target =
  | { readonly kind: 'stdout' }
  | { readonly kind: 'file' | 'serial'; readonly path: string }
  | { readonly kind: 'tcp'; readonly port: number }

const target = z.string().transform((text, context): Target => {
  if (text === 'stdout') return { kind: 'stdout' }
  const found = /^(file|tcp|serial):(.+)$/s.exec(text)
  const [, kind, rest] = found ?? []
  if (kind === 'tcp' && rest !== undefined && /^\d{1,5}$/.test(rest) && Number(rest) <= 65_535)
    return { kind, port: Number(rest) }
  if ((kind === 'file' || kind === 'serial') && rest !== undefined) return { kind, path: rest }
  context.addIssue({
    code: 'custom',
    message: `"${text}" is none of stdout, file:PATH, tcp:PORT (0…65535), serial:PATH`,
  })
  return z.NEVER
})
const momentWords = 'is not a time as 2026-11-20T18:00:00Z or 2026-11-20T19:00:00+01:00, with its offset, nor now'
const moment = z.union([z.literal('now'), z.iso.datetime({ offset: true, error: momentWords })], momentWords)
const wholeNumber = (from: number, to: number) => {
  const words = `needs a whole number, ${from}…${to}`
  return z.coerce.number(words).int(words).min(from, words).max(to, words)
}
const speedWords = 'needs a number above 0, at most 1000000, or fastest'
const longestHours = 24 * 366
const hoursWords = `needs a number above 0, at most ${longestHours}`

/** What a simulation is asked to do. Numbers may come as text, as a command line gives them. */
export const simulationOptions = z.strictObject({
  scenario: z.string().min(1).default('calm-night').describe('A scenario by name, or a JSON file.'),
  seed: wholeNumber(0, 4_294_967_295).default(1),
  speed: z
    .union(
      [z.literal('fastest'), z.coerce.number(speedWords).positive(speedWords).max(1_000_000, speedWords)],
      speedWords,
    )
    .default(1)
    .describe('Simulated seconds per real second.'),
  hours: z.coerce
    .number(hoursWords)
    .positive(hoursWords)
    .max(longestHours, hoursWords)
    .optional()
    .describe('Length; the scenario’s unless set.'),
  start: moment.optional().describe('Simulated start; the scenario’s unless set.'),
  skipTo: moment.optional().describe('Lines before this moment are worked out but not written.'),
  catchUpToNow: z
    .boolean()
    .default(false)
    .describe(
      'Runs at `speed` until simulated time reaches the real clock, then goes on at 1× for ever. Start unless set: now less the scenario’s hours.',
    ),
  whileUnlinked: z
    .enum(['wait', 'go-on'], 'is neither wait nor go-on')
    .default('wait')
    .describe(
      '`wait`: simulated time stands still while nobody listens. Having caught up with the clock it always goes on.',
    ),
  to: target,
  baudRate: wholeNumber(50, 4_000_000).default(9600),
  truth: z.string().min(1).optional().describe('File for the truth, JSON lines.'),
  truthMinutes: wholeNumber(1, 1440).default(30).describe('Length of the summaries of the truth.'),
})
export type SimulationOptions = z.input<typeof simulationOptions>
export type CheckedOptions = z.output<typeof simulationOptions>

/** What is wrong with them, one option a line, as a command line calls it. */
export const optionFaults = ({ issues }: z.ZodError): string =>
  issues.map(({ path, message }) => `--${kebab(z.core.toDotPath(path))}: ${message}`).join('\n')
const kebab = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)

/** What a simulation tells while it runs; `main` prints each as a line of JSON on standard error. */
export type SimulationMessage =
  | { readonly event: 'listening'; readonly port: number }
  | { readonly event: 'clients'; readonly count: number }
  | { readonly event: 'link'; readonly up: boolean }
  | { readonly event: 'waiting'; readonly at: string }
  | { readonly event: 'caught-up'; readonly at: string }
  | ({ readonly event: 'ended' } & SimulationSummary)

export interface SimulationSummary {
  readonly scenario: string
  readonly seed: number
  readonly lines: number
  readonly sent: number
  readonly unknown: number
  readonly notSent: number
  /** Simulated time of the last line; null when there was none. */
  readonly lastAt: string | null
}
