import { z } from 'zod'
import { readScenario } from '../../simulator/scenario.ts'
import { LinkOutOfReach, runSimulation, ScenarioFault, type SimulationOptions } from '../../simulator/simulate.ts'
import { stationFor } from '../../simulator/station-for.ts'
import { storageFailure } from '../recording/trouble.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
import { printJson } from './printing.ts'

/** `flueledger simulate`: an invented plant and instrument; what happens is told on standard error, a JSON line each. */
export async function simulate({
  stationFile,
  ...asked
}: SimulationOptions & { readonly stationFile?: boolean }): Promise<number> {
  try {
    if (stationFile) {
      const to = String(asked.to)
      const source = to.startsWith('tcp:')
        ? { kind: 'tcp', host: '127.0.0.1', port: Number(to.slice(4)) }
        : to.startsWith('serial:')
          ? { kind: 'serial', path: to.slice(7) }
          : { kind: 'file', path: to.replace(/^file:/, ''), from: 'start' }
      printJson(
        stationFor(
          readScenario(asked.scenario ?? 'calm-night'),
          source,
          Number(asked.speed ?? 1) === 1 || asked.speed === 'fastest' ? {} : { speed: Number(asked.speed) },
        ),
      )
      return exitStatus.done
    }
    await runSimulation(asked, haltSignal(), (message) => process.stderr.write(`${JSON.stringify(message)}\n`))
    return exitStatus.done
  } catch (error) {
    if (error instanceof LinkOutOfReach) throw new Trouble(error.message, exitStatus.sourceOutOfReach, error)
    if (error instanceof ScenarioFault) throw new Trouble(error.message, exitStatus.wrongUse, error)
    if (error instanceof z.ZodError)
      throw new Trouble(
        error.issues.map((issue) => `--${z.core.toDotPath(issue.path)}: ${issue.message}`).join('\n'),
        exitStatus.wrongUse,
        error,
      )
    if (storageFailure(error) === 'disk-full')
      throw new Trouble(
        'the disk is full: what was written up to here stays, nothing follows it. Make room, or write elsewhere',
        exitStatus.diskFull,
        error,
      )
    if (isOfFile(error))
      throw new Trouble(`${error.path}: cannot be written (${error.code})`, exitStatus.wrongUse, error)
    throw error
  }
}

/** What the system said of the truth file or the file for the lines. */
const isOfFile = (error: unknown): error is NodeJS.ErrnoException & { readonly path: string } =>
  error instanceof Error && 'path' in error && 'code' in error && /^E[A-Z]+$/.test(String(error.code))
