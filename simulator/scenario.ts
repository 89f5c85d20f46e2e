import { readFileSync } from 'node:fs'
import { z } from 'zod'
import { instrumentSettings, type Writable } from './instrument/settings.ts'
import { unknownNames } from './lines/layout.ts'
import { timeText } from './lines/time-text.ts'
import { mishap } from './mishaps.ts'
import { burnerSettings } from './plant/burner.ts'
import { gasSpecies } from './plant/flue-gas.ts'
import { trainSettings } from './sampling/train.ts'

const gasNames: readonly string[] = gasSpecies
/** Cells that a written thing rests on. */
const cellsBehind = (what: Writable): string[] =>
  what === 'computed-CO2' ? ['O2'] : what === 'computed-NOx' ? ['NO', 'NO2'] : gasNames.includes(what) ? [what] : []

/** A night of our own: plant, sampling, instrument, what goes wrong, and the station that fits it. */
export const scenario = z
  .strictObject({
    $schema: z.string().optional(),
    name: z.string().regex(/^[a-z0-9][a-z0-9-]{0,39}$/, 'lower-case letters, digits and -'),
    about: z.string().min(1).max(400),
    invented: z.literal(true).describe('Every scenario is invented, and says so.'),
    hours: z
      .number()
      .positive()
      .max(24 * 31)
      .describe('Length of the script. A simulation that goes on longer plays it again.'),
    start: z.iso.datetime({ offset: true }).describe('Simulated start unless asked otherwise.'),
    burner: burnerSettings,
    train: trainSettings,
    instrument: instrumentSettings,
    mishaps: z.array(mishap).max(200).default([]),
    station: z
      .looseObject({
        station: z.looseObject({ name: z.string(), timeZone: z.string() }),
        channels: z.array(z.looseObject({ id: z.string() })),
      })
      .describe('A station file without its streams; `stationFor` adds them.'),
  })
  .superRefine((of, context) => {
    const fault = (message: string, ...path: (string | number)[]): void =>
      context.addIssue({ code: 'custom', message, path })
    const { instrument } = of
    const fields = new Set(instrument.profile.fields.map((field) => field.name))
    const cells = new Set<string>(instrument.cells.map((cell) => cell.species))
    for (const [index, written] of instrument.writes.entries()) {
      if (!fields.has(written.field))
        fault(
          `"${written.field}" is no field of the profile; it has ${[...fields].join(', ')}`,
          'instrument',
          'writes',
          index,
          'field',
        )
      for (const species of cellsBehind(written.what))
        if (!cells.has(species)) fault(`needs a cell for ${species}`, 'instrument', 'writes', index, 'what')
    }
    if (cells.size < instrument.cells.length) fault('two cells for the same gas', 'instrument', 'cells')
    for (const [index, one] of of.mishaps.entries()) {
      if (one.atMinutes >= of.hours * 60)
        fault(`begins after the script’s end at ${of.hours * 60} minutes`, 'mishaps', index, 'atMinutes')
      if (one.what === 'link-lost' && one.buffers && one.repeats > 0)
        fault('either buffers or repeats lines', 'mishaps', index, 'repeats')
      if (one.what === 'cell-over-range' && !cells.has(one.species))
        fault(`needs a cell for ${one.species}`, 'mishaps', index, 'species')
    }
    if (instrument.profile.form === 'pattern') {
      if (instrument.template === undefined) fault('the form pattern needs a template', 'instrument', 'template')
      for (const name of unknownNames(instrument.profile, instrument.template ?? ''))
        fault(`{${name}} is neither a field nor {time}`, 'instrument', 'template')
    }
    for (const zone of [of.station.station.timeZone, instrument.profile.time?.zone ?? 'UTC']) {
      if (zone === 'station') continue
      try {
        timeText('iso', zone)
      } catch {
        fault(`"${zone}" is no time zone`, 'station', 'station', 'timeZone')
      }
    }
  })
export type Scenario = z.infer<typeof scenario>
export type ScenarioInput = z.input<typeof scenario>

/** Names of the scenarios that come with the simulator. */
export const scenarioNames = ['calm-night', 'rough-night', 'half-hour'] as const
export type ScenarioName = (typeof scenarioNames)[number]

/** A scenario that cannot be used: one sentence per fault, each with its path. */
export class ScenarioFault extends Error {
  readonly faults: readonly string[]
  constructor(file: string, faults: readonly string[]) {
    super(`${file}:\n${faults.map((fault) => `  ${fault}`).join('\n')}`)
    this.name = 'ScenarioFault'
    this.faults = faults
  }
}

/** Any JSON value → a scenario; all faults at once. */
export function checkScenario(value: unknown, file: string): Scenario {
  const outcome = scenario.safeParse(value)
  if (outcome.success) return outcome.data
  throw new ScenarioFault(
    file,
    outcome.error.issues.map(
      (issue) => `${issue.path.length === 0 ? '(file)' : z.core.toDotPath(issue.path)}: ${issue.message}`,
    ),
  )
}

function whyUnreadable(error: unknown): string {
  const { code } = error as NodeJS.ErrnoException
  if (code === 'ENOENT') return 'is no scenario by name, and there is no such file'
  return code === 'EISDIR' ? 'is a folder; a file is needed' : `cannot be read (${code ?? String(error)})`
}

/** nameOrFile: one of `scenarioNames`, or the path of a JSON file. Throws a `ScenarioFault`. */
export function readScenario(nameOrFile: string): Scenario {
  const isName = (scenarioNames as readonly string[]).includes(nameOrFile)
  const file = isName ? new URL(`./scenarios/${nameOrFile}.json`, import.meta.url) : nameOrFile
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch (error) {
    throw new ScenarioFault(nameOrFile, [`${whyUnreadable(error)}; scenarios by name are ${scenarioNames.join(', ')}`])
  }
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (error) {
    throw new ScenarioFault(nameOrFile, [`is not JSON: ${(error as Error).message}`])
  }
  return checkScenario(value, nameOrFile)
}
