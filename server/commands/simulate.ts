import { z } from 'zod'
import { optionFaults, simulationOptions, type Target } from '../../simulator/options.ts'
import { readScenario } from '../../simulator/scenario.ts'
import { LinkOutOfReach, runSimulation, ScenarioFault, type SimulationOptions } from '../../simulator/simulate.ts'
import { stationFor } from '../../simulator/station-for.ts'
import { whyUnwritable } from '../file-trouble.ts'
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
      printJson(fittingStation(asked))
      return exitStatus.done
    }
    await runSimulation(asked, haltSignal(), (message) => process.stderr.write(`${JSON.stringify(message)}\n`))
    return exitStatus.done
  } catch (error) {
    if (error instanceof LinkOutOfReach) throw new Trouble(error.message, exitStatus.sourceOutOfReach, error)
    if (error instanceof ScenarioFault) throw new Trouble(error.message, exitStatus.wrongUse, error)
    if (error instanceof z.ZodError) throw new Trouble(optionFaults(error), exitStatus.wrongUse, error)
    if (storageFailure(error) === 'disk-full')
      throw new Trouble(
        'the disk is full: what was written up to here stays, nothing follows it. Make room, or write elsewhere',
        exitStatus.diskFull,
        error,
      )
    if (isOfFile(error))
      throw new Trouble(`${error.path}: cannot be written: ${whyUnwritable(error)}`, exitStatus.wrongUse, error)
    throw error
  }
}

/** The station file that reads what is asked for. */
function fittingStation(asked: SimulationOptions): object {
  const { to, scenario, speed } = simulationOptions.parse(asked)
  return stationFor(readScenario(scenario), sourceOf(to), speed === 1 || speed === 'fastest' ? {} : { speed })
}

function sourceOf(to: Target): object {
  switch (to.kind) {
    case 'tcp':
      if (to.port === 0)
        throw new Trouble('--to tcp:0: which port that will be is known once it listens; name one in the station file')
      return { kind: 'tcp', host: '127.0.0.1', port: to.port }
    case 'serial':
      return { kind: 'serial', path: to.path }
    case 'file':
      return { kind: 'file', path: to.path, from: 'start' }
    case 'stdout':
      throw new Trouble(
        '--to stdout: a station cannot read that; name what it reads: file:PATH, tcp:PORT or serial:PATH',
      )
  }
}

/** What the system said of the truth file or the file for the lines. */
const isOfFile = (error: unknown): error is NodeJS.ErrnoException & { readonly path: string } =>
  error instanceof Error && 'path' in error && 'code' in error && /^E[A-Z]+$/.test(String(error.code))
