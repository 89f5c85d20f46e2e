import { Command, CommanderError, InvalidArgumentError } from 'commander'
import { engineVersion } from '../engine/engine-version.ts'
import { exitStatus, statusOf } from '../trouble.ts'

const decimalMark = (text: string): '.' | ',' => {
  if (text === '.' || text === ',') return text
  throw new InvalidArgumentError('Allowed are . and ,')
}
const portNumber = (text: string): number => {
  const port = Number(text)
  if (Number.isInteger(port) && port >= 0 && port <= 65_535) return port
  throw new InvalidArgumentError('A port is a whole number, 0…65535.')
}
const collect = (text: string, before: readonly string[] = []): string[] => [...before, text]

/** The command line. Verbs, flags and exit statuses are a contract: other people's scripts rely on them. Each verb lives in a file of its own, loaded when asked for. */
function commandLine(finish: (status: number) => void): Command {
  const program = new Command('flueledger')
  program
    .description('Records a flue-gas analyser’s line stream and turns it into averages that can be defended.')
    .version(engineVersion)
    .exitOverride()
    .showHelpAfterError('(flueledger --help lists the commands)')
  const verb = (usage: string, about: string, examples: readonly string[]): Command =>
    program
      .command(usage)
      .description(about)
      .addHelpText('after', `\nExamples:\n${examples.map((line) => `  $ flueledger ${line}`).join('\n')}`)

  verb('demo', 'simulator and dashboard, nothing to configure', ['demo', 'demo --port 9000'])
    .option('--host <host>', 'address to listen on', '127.0.0.1')
    .option('--port <port>', 'port; another one if it is taken', portNumber)
    .option('--data <folder>', 'data folder; a fresh one unless set')
    .action(async (options) => finish(await (await import('./demo.ts')).demo(options)))
  verb('serve', 'runs a station; without a station file it is set up in the browser', [
    'serve',
    'serve --station boiler-house.json',
    'serve --station boiler-house.json --data /var/lib/flueledger',
    'serve --station boiler-house.json --host 0.0.0.0 --passphrase-file passphrase.txt',
  ])
    .option('--station <file>', 'station file; station.json of the data folder unless set')
    .option('--host <host>', 'address to listen on', '127.0.0.1')
    .option('--port <port>', 'port; another one if it is taken', portNumber)
    .option(
      '--passphrase-file <file>',
      'lets others in who know its first line; needed for a --host beyond this machine',
    )
    .option('--data <folder>', 'data folder', 'data')
    .action(async (options) => finish(await (await import('./serve.ts')).serve(options)))
  verb('simulate', 'an invented plant and instrument that write lines', [
    'simulate --hours 1 --speed fastest --to file:night.log --truth truth.jsonl',
    'simulate --scenario rough-night --speed 60 --to tcp:4001',
    'simulate --station-file --to tcp:4001',
  ])
    .option('--scenario <name>', 'a scenario by name, or a JSON file', 'calm-night')
    .option('--seed <number>', 'same seed, same lines', '1')
    .option('--speed <x>', 'simulated seconds per real second, or fastest', '1')
    .option('--hours <hours>', 'length; the scenario’s unless set')
    .option('--start <time>', 'simulated start, ISO 8601 or now; the scenario’s unless set')
    .option('--skip-to <time>', 'writes from there on, ISO 8601 or now')
    .option('--catch-up-to-now', 'runs at speed until simulated time meets the clock, then goes on at real speed')
    .option('--while-unlinked <what>', 'wait (simulated time stands still while nobody listens) or go-on')
    .option('--station-file', 'prints the station file that reads what goes --to, and ends')
    .requiredOption('--to <target>', 'stdout, file:PATH, tcp:PORT or serial:PATH')
    .option('--truth <file>', 'the truth beside the lines, JSON lines')
    .option('--truth-minutes <minutes>', 'length of its summaries', '30')
    .action(async (options) => finish(await (await import('./simulate.ts')).simulate(options)))
  verb('import <log>', 'a text log becomes a recording', [
    'import night.log --station boiler.json --out night.flue.sqlite',
  ])
    .requiredOption('--station <file>', 'station file')
    .requiredOption('--out <recording>', 'recording to make')
    .option('--json', 'result as JSON')
    .action(async (log, options) => finish(await (await import('./import.ts')).importLog(log, options)))
  verb('replay <recording-or-log>', 'works a recording or a text log through the engine anew', [
    'replay night.flue.sqlite --out averages',
    'replay night.log --station boiler.json --set conversions.referenceOxygen=3 --json',
  ])
    .option('--station <file>', 'station file; for a text log')
    .option('--from <time>', 'averages from here on, ISO 8601')
    .option('--to <time>', 'averages up to here, ISO 8601')
    .option('--set <path=value>', 'another setting; can be given again', collect)
    .option('--out <folder>', 'writes blocks.csv and more')
    .option('--format <list>', 'of the files in --out: csv, json, xlsx (csv unless told)')
    .option('--decimal <mark>', '. or ,', decimalMark, '.')
    .option('--json', 'blocks as JSON')
    .action(async (input, options) => finish(await (await import('./replay.ts')).replay(input, options)))
  verb('export <recording>', 'writes blocks, readings, alarms and more', [
    'export night.flue.sqlite --format csv --out night',
    'export night.flue.sqlite --format xlsx --out night --decimal ,',
    'export run-1.flue.sqlite --test-with run-2.flue.sqlite --test-with run-3.flue.sqlite --format csv --out test',
  ])
    .requiredOption('--format <list>', 'csv, json, xlsx')
    .requiredOption('--out <folder>', 'folder to write to')
    .option('--decimal <mark>', '. or ,', decimalMark, '.')
    .option(
      '--test-with <recording>',
      'another run of the same test; adds the mean of all runs; can be given again',
      collect,
    )
    .option('--json', 'result as JSON')
    .action(async (recording, options) =>
      finish(await (await import('./export.ts')).exportRecording(recording, options)),
    )
  verb('verify <recording>', 'seals, order, and that a replay gives the stored averages', [
    'verify night.flue.sqlite',
    'verify night.flue.sqlite --json',
  ])
    .option('--head <hash>', 'a seal’s hash that was noted earlier')
    .option('--json', 'result as JSON')
    .action(async (recording, options) => finish(await (await import('./verify.ts')).verify(recording, options)))
  verb('explain <recording>', 'an average down to its raw lines', [
    'explain night.flue.sqlite --block 2026-11-20T19:00:00+01:00 --channel co',
    'explain night.flue.sqlite --block 2026-11-20T18:00:00Z --channel nox --quantity mass_concentration --readings',
  ])
    .requiredOption('--block <start>', 'when the average begins, ISO 8601')
    .requiredOption('--channel <id>', 'channel')
    .option('--average <duration>', 'its length, as PT30M; the longest that begins then unless set')
    .option('--quantity <name>', 'as_read, mass_concentration …; the last that is formed unless set')
    .option('--unit <unit>', 'where the quantity is formed in several')
    .option('--rolling', 'a rolling average')
    .option('--readings', 'each reading too; --json holds them anyway')
    .option('--json', 'all of it as JSON')
    .action(async (recording, options) => finish(await (await import('./explain.ts')).explain(recording, options)))
  verb('validate <file>', 'a station file or a line profile; all its faults at once', ['validate boiler-house.json'])
    .option('--json', 'result as JSON')
    .action(async (file, options) => finish(await (await import('./tell-validation.ts')).tellValidation(file, options)))
  verb('calc [name]', 'one published calculation with its source; alone, the list of them', [
    'calc',
    'calc reference-oxygen --input concentration=150mg/m3 oxygen=5.2 reference=3',
    'calc dry-flow --input velocity=49ft/s --input diameter=4ft --input water=12 --input temperature=350degF --input pressure=29.8inHg --in ft3/min',
    'calc stack-loss --input gas=180degC air=20degC oxygen=3 "fuel=natural gas" --json',
  ])
    .option('--input <name=value...>', 'an input, its unit behind the number; a list is parted by commas')
    .option('--in <unit>', 'unit of the result')
    .option('--json', 'result as JSON, with every digit')
    .action(async (name, options) => finish((await import('./calc.ts')).calc(name, options)))
  verb('propose <log>', 'a line profile proposed from sample lines', [
    'propose night.log',
    'propose night.log --out boiler-lines.json',
  ])
    .option('--out <file>', 'writes the profile there as well')
    .option('--json', 'profile, guesses and what could not be named as JSON')
    .action(async (log, options) => finish(await (await import('./propose.ts')).propose(log, options)))
  verb('ports', 'serial ports', ['ports', 'ports --json'])
    .option('--json', 'result as JSON')
    .action(async (options) => finish(await (await import('./ports.ts')).ports(options)))
  return program
}

/** Runs one command; returns its exit status. Results go to standard output, all else to standard error. */
export async function runCommandLine(argv: readonly string[]): Promise<number> {
  let status: number = exitStatus.done
  try {
    await commandLine((ended) => {
      status = ended
    }).parseAsync([...argv])
    return status
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitStatus.done : exitStatus.wrongUse
    const failed = statusOf(error)
    process.stderr.write(
      `flueledger: ${failed === exitStatus.defect && error instanceof Error ? `a defect of ours: ${error.stack}` : error instanceof Error ? error.message : error}\n`,
    )
    return failed
  }
}
