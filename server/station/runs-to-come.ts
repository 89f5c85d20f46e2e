import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { runRequest } from '../../protocols/live/requests.ts'
import { endRule } from '../engine/settings/station-shape.ts'
import { writeWhole } from '../reports/atomic-file.ts'

/** What no recording tells of runs: what an operator planned, and how far a sequence of runs is. Times in ms since 1970. */
const runsToCome = z.strictObject({
  number: z.int().min(0),
  of: z.int().min(1),
  pauseMs: z.number().min(0),
  plannedMs: z.nullable(z.number()),
  name: z.string().optional(),
  end: endRule.optional(),
  /** Planned while a run is on. */
  following: z.nullable(runRequest),
})
export type RunsToCome = z.infer<typeof runsToCome>

/** Nothing that a restart could forget. */
const isNothing = ({ number, of, plannedMs, following }: RunsToCome): boolean =>
  plannedMs === null && following === null && (number === 0 || number >= of)

const fileIn = (folder: string): string => join(folder, 'runs-to-come.json')

/** What was kept in a data folder; null: nothing. A file that cannot be read is told and left alone. */
export function keptRunsToCome(folder: string, log: (text: string) => void): RunsToCome | null {
  const file = fileIn(folder)
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch {
    return null
  }
  try {
    return runsToCome.parse(JSON.parse(text))
  } catch (error) {
    log(`${file}: cannot be read, so what was planned is not known: ${error instanceof Error ? error.message : error}`)
    return null
  }
}

/** Keeps what is to come in a data folder, one state after the other. */
export class RunsToComeFile {
  private readonly folder: string
  private writing: Promise<unknown> = Promise.resolve()

  constructor(folder: string) {
    this.folder = folder
  }

  /** Resolves to why it could not be kept; null: the disk holds it. */
  keep(runs: RunsToCome): Promise<string | null> {
    const kept = this.writing
      .then(() => this.write(runs))
      .then(
        () => null,
        (error: unknown) => (error instanceof Error ? error.message : String(error)),
      )
    this.writing = kept
    return kept
  }

  private async write(runs: RunsToCome): Promise<void> {
    if (isNothing(runs)) rmSync(fileIn(this.folder), { force: true })
    else await writeWhole(fileIn(this.folder), `${JSON.stringify(runs, null, 2)}\n`)
  }
}
