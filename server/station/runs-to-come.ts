import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import { runRequest } from '../../protocols/live/requests.ts'
import { endRule } from '../engine/settings/station-shape.ts'
import { errorText } from '../recording/trouble.ts'
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
  /** What is left of the sequence of the run that is on was called off. */
  restIsOff: z.literal(true).optional(),
})
export type RunsToCome = z.infer<typeof runsToCome>

/** Who knows what is to come; `restore` gives the instant of a start that was missed by too much, else null. */
interface Runs {
  readonly toCome: RunsToCome
  restore(kept: RunsToCome, isOn: boolean): number | null
}

/** Nothing that a restart could forget. */
const isNothing = ({ number, of, plannedMs, following, restIsOff }: RunsToCome): boolean =>
  plannedMs === null && following === null && !restIsOff && (number === 0 || number >= of)

const fileIn = (folder: string): string => join(folder, 'runs-to-come.json')

/** What was kept in a data folder; null: nothing. A file that cannot be read is told and left alone. */
function keptRunsToCome(folder: string, warn: (text: string) => void): RunsToCome | null {
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
    warn(`${file}: cannot be read, so what was planned is not known: ${errorText(error)}`)
    return null
  }
}

/** Keeps what is to come in a data folder, one state after the other. */
export class RunsToComeFile {
  private readonly folder: string
  private readonly warn: (text: string) => void
  private writing: Promise<unknown> = Promise.resolve()

  constructor(folder: string, warn: (text: string) => void) {
    this.folder = folder
    this.warn = warn
  }

  /** Hands what was kept to the runs of a station that starts. `isOn`: a run was left going. */
  restore(runs: Runs, isOn: boolean): void {
    const kept = keptRunsToCome(this.folder, this.warn)
    const missedMs = kept === null ? null : runs.restore(kept, isOn)
    if (missedMs === null) return
    this.warn(`a run was planned for ${new Date(missedMs).toISOString()}, more than a day ago: it is not begun`)
  }

  /** Resolves to why it could not be kept, which is told; null: the disk holds it, and a restart will not forget it. */
  keep({ toCome }: Runs): Promise<string | null> {
    const kept = this.writing
      .then(() => this.write(toCome))
      .then(
        () => null,
        (error: unknown) => {
          const why = errorText(error)
          this.warn(`what is planned could not be stored, and is forgotten if the station ends: ${why}`)
          return why
        },
      )
    this.writing = kept
    return kept
  }

  private async write(runs: RunsToCome): Promise<void> {
    if (isNothing(runs)) rmSync(fileIn(this.folder), { force: true })
    else await writeWhole(fileIn(this.folder), `${JSON.stringify(runs, null, 2)}\n`)
  }
}
