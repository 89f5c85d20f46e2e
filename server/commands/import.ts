import { statSync } from 'node:fs'
import { importLogTo } from '../station/import-log.ts'
import { untimedLog } from '../station/log-arrivals.ts'
import { exitStatus } from '../trouble.ts'
import { print, printJson, progress, say } from './printing.ts'
import { stationFromFile } from './station-from-file.ts'

/** `flueledger import`: a text log becomes a recording. */
export async function importLog(
  log: string,
  options: { readonly station: string; readonly out: string; readonly json?: boolean },
): Promise<number> {
  const { station, text } = stationFromFile(options.station)
  const size = statSync(log, { throwIfNoEntry: false })?.size ?? 1
  const shown = progress('importing')
  const imported = await importLogTo(log, station, text, options.out, (bytes) => shown.at(bytes / size))
  shown.end()
  if (imported.isUntimed) say(untimedLog)
  if (options.json) printJson({ recording: options.out, ...imported })
  else {
    print(`${options.out}: ${imported.lines} lines, ${imported.blocks} block averages`)
    for (const [reason, count] of Object.entries(imported.refusals))
      print(`  ${count} lines take no part: ${reason.replaceAll('_', ' ')}`)
  }
  return exitStatus.done
}
