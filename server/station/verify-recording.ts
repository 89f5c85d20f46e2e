import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { RecordedEvent } from '../engine/events.ts'
import { withPassingTime } from '../engine/passing-time.ts'
import { amendmentsOf, amends, isAmendment } from '../engine/told-amendments.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { timePassesIn } from '../recording/run-state.ts'
import { verifySeals } from '../recording/verify.ts'
import { StoredAverages } from './amendments/stored-averages.ts'
import { stationFromSettings } from './recorded-settings.ts'
import { RunEngines } from './run-engines.ts'
import { StoredComparison } from './stored-comparison.ts'
import { letTimePass } from './time-alone.ts'
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
  const isSealed = sealed.seals.ok && sealed.order.ok && sealed.file.ok
  const recomputation = recompute(path, isSealed)
  const texts = (faults: readonly { readonly text: string }[]): string[] => faults.map(({ text }) => text)
  return {
    ok: isSealed && recomputation.ok,
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

function recompute(path: string, isSealed: boolean): Recomputation {
  const faults: string[] = []
  let compared: Pick<Recomputation, 'blocks' | 'notes'> = { blocks: 0, notes: [] }
  try {
    const reader = openRecording(path)
    try {
      compared = reader.asOfOneMoment(() => compare(reader, faults, isSealed))
    } finally {
      reader.close()
    }
  } catch (error) {
    faults.push(`could not be recomputed: ${error instanceof Error ? error.message : error}`)
  }
  return { ok: faults.length === 0, ...compared, faults }
}

const longestLeapMs = 31 * 24 * 3_600_000

/** Where seals or order are faulty, a changed time may lie decades ahead: nobody waits until all averages up to it are formed. */
function* withoutLeaps(inputs: Iterable<RecordedEvent>): Generator<RecordedEvent> {
  let previousMs = Number.POSITIVE_INFINITY
  for (const event of inputs) {
    if (event.atMs - previousMs > longestLeapMs)
      throw new Error(
        `an input at ${new Date(event.atMs).toISOString()} follows one at ${new Date(previousMs).toISOString()}, and seals or order are faulty`,
      )
    previousMs = event.atMs
    yield event
  }
}

/**
 * A recording may be written meanwhile: all is held against each other as of one moment. Time that has passed since the last
 * input brings averages and alarms too, and is not recorded; so it passes here as far as what is stored tells. A run that is
 * suspended or over brings nothing after its last input.
 */
function compare(
  reader: RecordingReader,
  faults: string[],
  isSealed: boolean,
): Pick<Recomputation, 'blocks' | 'notes'> {
  const { header } = reader
  const exactly = header.engineVersion === engineVersion
  const upToSequence = reader.extent().lastSequence
  const told = reader.changes().filter(isAmendment)
  const amendments = amendmentsOf(told)
  const engines = new RunEngines(stationFromSettings(header.settings), {
    unendedCounts: header.origin === 'imported',
    amendments,
  })
  const averages = new StoredAverages(reader)
  const comparison = new StoredComparison(averages, reader.alarms(), exactly)
  const inputs = reader.inputs({ upToSequence })
  for (const event of withPassingTime(isSealed ? inputs : withoutLeaps(inputs))) comparison.take(engines.step(event))
  if (timePassesIn(reader.runState()))
    letTimePass(engines, (outputs) => {
      const isThere = comparison.tellsOf(outputs)
      if (isThere) comparison.take(outputs)
      return isThere
    })
  const ofHistory = historyFaults(reader.history(), (kind, row) => averages.of(kind, row), exactly)
  for (const found of [comparison.faults(), ofHistory])
    for (const fault of found) {
      if (faults.length === mostFaults) break
      faults.push(fault)
    }
  const notes = notesOf(header.engineVersion, amendments, reader.historyInAll())
  if (reader.isDerivedInPart()) notes.push(derivedInPartNote)
  else if (comparison.averagesDiffer && told.length > 0) notes.push(unsettledNote(told.at(-1)?.atMs ?? 0))
  return { blocks: comparison.blocks, notes }
}

const derivedInPartNote =
  'the station is forming, or was stopped while it formed the averages anew, as it does when a run goes on, or the disk took nothing for so long that averages were not kept: what is missing, it forms when the run goes on again; the lines are whole'

/** A stop or a crash soon after an amendment leaves averages as they were before it. */
const unsettledNote = (toldMs: number): string =>
  `an amendment was told at ${new Date(toldMs).toISOString()}: if the station was stopped or killed right after it, its averages are not formed yet. The station does so when the run goes on; of a run that is over, the next amendment does (exclude a stretch and take it back)`

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
