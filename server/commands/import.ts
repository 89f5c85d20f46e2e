import { statSync } from 'node:fs'
import type { RefusalReason } from '../../protocols/instrument/reader.ts'
import { importLogTo } from '../station/import-log.ts'
import { exitStatus } from '../trouble.ts'
import { haltSignal } from './halt-signal.ts'
import { noPartText, print, printJson, progress, say } from './printing.ts'
import { sayWhoseLines, stationFromFile } from './station-from-file.ts'

/** `flueledger import`: a text log becomes a recording. */
export async function importLog(
  log: string,
  options: { readonly station: string; readonly out: string; readonly json?: boolean },
): Promise<number> {
  const { station, text } = stationFromFile(options.station)
  sayWhoseLines(log, station)
  const size = statSync(log, { throwIfNoEntry: false })?.size ?? 1
  const shown = progress('importing')
  const onProgress = (bytes: number): void => shown.at(bytes / size)
  const imported = await importLogTo(log, station, text, options.out, { onProgress, halt: haltSignal() }).finally(() =>
    shown.end(),
  )
  const { ofTimes, ...told } = imported
  if (ofTimes !== null) say(ofTimes)
  if (options.json) printJson({ recording: options.out, ...told })
  else {
    print(`${options.out}: ${imported.lines} lines, ${imported.blocks} block averages`)
    for (const [reason, count] of Object.entries(imported.refusals))
      print(`  ${noPartText(count, reason as RefusalReason)}`)
  }
  if (imported.refused < imported.lines) return exitStatus.done
  say(
    imported.lines === 0
      ? `${log}: is empty; the recording holds nothing`
      : `${log}: none of its lines could be read with the profile of ${options.station}; the recording holds them as they are. \`propose\` says what their form is`,
  )
  return exitStatus.checkFailed
}
