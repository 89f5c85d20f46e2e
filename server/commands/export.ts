import { verifySeals } from '../recording/verify.ts'
import { type ExportFormat, exportRecordingTo } from '../station/export-recording.ts'
import { exportTestTo } from '../station/export-test.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { haltable } from './halt-signal.ts'
import { print, printJson, say } from './printing.ts'

/** `csv,json` → the formats; a trouble names what is allowed. */
export function formatsOf(text: string): ExportFormat[] {
  return text.split(',').map((name) => {
    const format = name.trim()
    if (format === 'csv' || format === 'json' || format === 'xlsx') return format
    throw new Trouble(
      `--format ${text}: ${format === 'parquet' ? 'parquet is not in this version' : `“${format}” is no format`}; allowed are csv, json, xlsx`,
    )
  })
}

/** `flueledger export`: blocks, rolling averages, verdicts, readings, alarms, phases, logbook and settings as files; with other runs, the test of them all. */
export async function exportRecording(
  path: string,
  options: {
    readonly format: string
    readonly out: string
    readonly decimal: '.' | ','
    readonly testWith?: readonly string[]
    readonly json?: boolean
  },
): Promise<number> {
  const target = { folder: options.out, formats: formatsOf(options.format), decimal: options.decimal }
  const files = await exportRecordingTo(path, target, haltable)
  for (const recording of [path, ...(options.testWith ?? [])]) warnOfFaults(recording)
  if (options.testWith) {
    const test = await exportTestTo([path, ...options.testWith], target)
    files.push(...test.files)
    for (const note of test.notes) say(note)
  }
  if (options.json) printJson({ folder: options.out, files })
  else for (const file of files) print(`${options.out}/${file}`)
  return exitStatus.done
}

/** Whoever exports is told what `verify` would say of the lines; a script is not stopped by it. */
function warnOfFaults(recording: string): void {
  const { seals, order } = verifySeals(recording)
  if (seals.ok && order.ok) return
  say(
    `${recording}: its ${seals.ok ? 'order is' : 'seals are'} faulty: what was recorded is no longer what was sealed. The files rest on the lines as they stand; \`flueledger verify\` says where`,
  )
}
