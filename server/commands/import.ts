import { statSync } from 'node:fs'
import { type RefusalReason, refusalWords } from '../../protocols/instrument/reader.ts'
import { importLogTo } from '../station/import-log.ts'
import { untimedLog } from '../station/log-arrivals.ts'
import { exitStatus } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
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
  const onProgress = (bytes: number): void => shown.at(bytes / size)
  const imported = await importLogTo(log, station, text, options.out, { onProgress, halt: haltSignal() }).finally(() =>
    shown.end(),
  )
  if (imported.isUntimed) say(untimedLog)
  if (options.json) printJson({ recording: options.out, ...imported })
  else {
    print(`${options.out}: ${imported.lines} lines, ${imported.blocks} block averages`)
    for (const [reason, count] of Object.entries(imported.refusals))
      print(`  ${count} lines take no part: ${refusalWords[reason as RefusalReason]}`)
  }
  if (imported.refused < imported.lines) return exitStatus.done
  say(
    imported.lines === 0
      ? `${log}: is empty; the recording holds nothing`
      : `${log}: none of its lines could be read with the profile of ${options.station}; the recording holds them as they are. \`propose\` says what their form is`,
  )
  return exitStatus.checkFailed
}
