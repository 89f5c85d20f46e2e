import { parseArgs } from 'node:util'
import { z } from 'zod'
import { optionFaults } from './options.ts'
import { LinkOutOfReach, runSimulation, ScenarioFault, type SimulationOptions } from './simulate.ts'

const usage = `simulates an invented instrument on an invented plant

  --scenario NAME|FILE   calm-night (default), rough-night, half-hour, or a JSON file
  --seed N               another instrument, another night (default 1)
  --speed X|fastest      simulated seconds per real second (default 1)
  --start ISO|now        simulated start        --hours H          length
  --skip-to ISO|now      write from there on    --catch-up-to-now  at speed up to the clock, then on at 1x
  --while-unlinked wait|go-on                   --baud-rate N      for serial
  --to stdout|file:PATH|tcp:PORT|serial:PATH    --truth FILE       the truth beside it
  --truth-minutes N      length of its summaries (default 30)
`

/** Exit status as of the whole command line: 2 wrong use or bad file, 4 out of reach, 70 a defect of ours. */
const statusOf = (error: unknown): number =>
  error instanceof LinkOutOfReach
    ? 4
    : error instanceof ScenarioFault ||
        error instanceof z.ZodError ||
        (error as NodeJS.ErrnoException).code !== undefined
      ? 2
      : 70

const messageOf = (error: unknown): string =>
  error instanceof z.ZodError ? optionFaults(error) : error instanceof Error ? error.message : String(error)

async function main(): Promise<number> {
  const text = { type: 'string' } as const
  const { values } = parseArgs({
    options: {
      scenario: text,
      seed: text,
      speed: text,
      hours: text,
      start: text,
      'skip-to': text,
      'while-unlinked': text,
      to: text,
      truth: text,
      'truth-minutes': text,
      'baud-rate': text,
      'catch-up-to-now': { type: 'boolean' },
      help: { type: 'boolean' },
    },
  })
  if (values.help) {
    process.stdout.write(usage)
    return 0
  }
  const camel = (name: string): string => name.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase())
  const asked = Object.fromEntries(
    Object.entries({ to: 'stdout', ...values }).map(([name, value]) => [camel(name), value]),
  )
  const halt = new AbortController()
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => halt.abort())
  await runSimulation(asked as SimulationOptions, halt.signal, (message) =>
    process.stderr.write(`${JSON.stringify(message)}\n`),
  )
  return 0
}

main().then(
  (status) => process.exit(status),
  (error: unknown) => {
    process.stderr.write(`${messageOf(error)}\n`)
    process.exit(statusOf(error))
  },
)
