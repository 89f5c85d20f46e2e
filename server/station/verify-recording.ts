import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import { engineVersion } from '../engine/state.ts'
import { amendmentsOf, amends, isAmendment } from '../engine/told-amendments.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { verifySeals } from '../recording/verify.ts'
import { drive } from './drive-engine.ts'
import { stationFromSettings } from './recorded-settings.ts'
import { rowDifferences } from './row-comparison.ts'
import { historyFaults } from './verify-history.ts'

/** So many faults of a kind are told one by one. */
const mostFaults = 20

type Recomputation = VerifyAnswer['recomputation']

/**
 * Seals and order of a recording, and that its lines give the stored averages and alarms again: byte for byte by the version
 * of the engine that made it, by another within a relative 1e-12 in what that version formed. Averages are held against the
 * run as amended, alarms against the run as lived through.
 */
export function verifyRecording(path: string, expectedHead?: string): VerifyAnswer {
  const sealed = verifySeals(path, expectedHead === undefined ? {} : { expectedHead })
  const recomputation = recompute(path)
  const texts = (faults: readonly { readonly text: string }[]): string[] => faults.map(({ text }) => text)
  return {
    ok: sealed.seals.ok && sealed.order.ok && sealed.file.ok && recomputation.ok,
    engine: engineVersion,
    seals: {
      ok: sealed.seals.ok && sealed.file.ok,
      count: sealed.seals.count,
      head: sealed.seals.head,
      faults: [...texts(sealed.seals.faults), ...sealed.file.faults],
    },
    order: { ok: sealed.order.ok, faults: texts(sealed.order.faults) },
    recomputation,
  }
}

function recompute(path: string): Recomputation {
  const faults: string[] = []
  const tell = (text: string): void => {
    if (faults.length < mostFaults) faults.push(text)
  }
  let compared: Pick<Recomputation, 'blocks' | 'notes'> = { blocks: 0, notes: [] }
  try {
    const reader = openRecording(path)
    try {
      compared = compare(reader, tell)
    } finally {
      reader.close()
    }
  } catch (error) {
    tell(`could not be recomputed: ${error instanceof Error ? error.message : error}`)
  }
  return { ok: faults.length === 0, ...compared, faults }
}

function compare(reader: RecordingReader, tell: (text: string) => void): Pick<Recomputation, 'blocks' | 'notes'> {
  const { header } = reader
  const exactly = header.engineVersion === engineVersion
  const told = reader.changes().filter(isAmendment)
  const amendments = amendmentsOf(told)
  const stored = new Map<string, AverageRow>()
  for (const row of reader.blocks()) stored.set(`block/${averageKey(row)}`, row)
  for (const row of reader.rolling()) stored.set(`rolling/${averageKey(row)}`, row)
  /** An average may come provisional first: what comes last is in force, and only what differs so far is kept. */
  const differing = new Map<string, string>()
  const missing = new Set(stored.keys())
  let blocks = 0
  const alarms: AlarmTransition[] = []
  drive(
    stationFromSettings(header.settings),
    reader.inputs(),
    (outputs) => {
      for (const output of outputs) {
        if (output.kind === 'alarm') alarms.push(output.transition)
        if (output.kind !== 'block' && output.kind !== 'rolling') continue
        const key = `${output.kind}/${averageKey(output.row)}`
        const was = stored.get(key)
        if (missing.delete(key) || was === undefined) blocks++
        const names = was ? rowDifferences(was, output.row, exactly) : []
        if (was === undefined) differing.set(key, 'recomputed, but not stored')
        else if (names.length > 0) differing.set(key, `stored otherwise than recomputed (${names.join(', ')})`)
        else differing.delete(key)
      }
    },
    { unendedCounts: header.origin === 'imported', amendments },
  )
  const isUnsettled = differing.size + missing.size > 0 && told.length > 0
  for (const [key, text] of differing) tell(`${key}: ${text}`)
  for (const key of missing) tell(`${key}: stored, but the lines do not give it`)
  compareAlarms(reader.alarms(), alarms, tell)
  const history = reader.history()
  for (const fault of historyFaults(history, (kind, row) => stored.get(`${kind}/${averageKey(row)}`), exactly))
    tell(fault)
  const notes = notesOf(header.engineVersion, amendments, history.length)
  return { blocks, notes: isUnsettled ? [...notes, unsettledNote(told.at(-1)?.atMs ?? 0)] : notes }
}

/** A stop or a crash soon after an amendment leaves averages as they were before it. */
const unsettledNote = (toldMs: number): string =>
  `an amendment was told at ${new Date(toldMs).toISOString()}: if the station was stopped or killed right after it, its averages are not formed yet. The station does so when the run goes on; of a run that is over, the next amendment does (exclude a stretch and take it back)`

function compareAlarms(
  stored: readonly AlarmTransition[],
  recomputed: readonly AlarmTransition[],
  tell: (text: string) => void,
): void {
  const length = Math.max(stored.length, recomputed.length)
  for (let index = 0; index < length; index++) {
    if (JSON.stringify(stored[index]) === JSON.stringify(recomputed[index])) continue
    tell(
      `alarm transition ${index + 1}: ${stored[index]?.alarm ?? 'none'} stored, ${recomputed[index]?.alarm ?? 'none'} recomputed`,
    )
    return
  }
}

function notesOf(madeBy: string, amendments: ReturnType<typeof amendmentsOf>, changes: number): string[] {
  const notes: string[] = []
  if (madeBy !== engineVersion)
    notes.push(
      `made by engine ${madeBy}, recomputed by ${engineVersion}: numbers compared within a relative 1e-12, and what that version did not form (detection, uncertainty, verdicts) not at all`,
    )
  if (amends(amendments)) {
    const { exclusions, checks } = amendments
    notes.push(
      `amended by ${exclusions.length} exclusions and ${checks.length} checks: averages compared as amended, alarms as lived through; what averages were before lies in a history (${changes} changes) that is not sealed, unlike what amended them`,
    )
  }
  return notes
}
