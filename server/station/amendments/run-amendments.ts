import type { Amendments } from '../../engine/amendments.ts'
import { engineVersion } from '../../engine/engine-version.ts'
import type { EngineEvent, OperatorEvent } from '../../engine/events.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import type { EngineState } from '../../engine/state.ts'
import { amendmentsOf, amends, isAmendment } from '../../engine/told-amendments.ts'
import type { Derived, RecordingWriter } from '../../recording/recording.ts'
import { openRecording, type RecordingReader } from '../../recording/recording-reader.ts'
import type { RowsAhead } from '../rows-ahead.ts'
import { AmendedRun } from './amended-run.ts'
import { amending, isRow, RowChanges } from './row-changes.ts'
import { ShownAverages } from './shown-averages.ts'
import { StoredAverages } from './stored-averages.ts'

/** Who hears how the averages in force come about. */
export interface AmendmentFollower {
  /** Other averages are in force; these are what screens show of them: whoever shows them needs the whole picture. */
  changed(shown: ShownAverages): void
  warn(text: string): void
}

/** What amends the run that goes on, and the averages in force since something does. */
export class RunAmendments {
  private readonly station: StationFile
  private readonly writer: RecordingWriter
  private readonly rowsAhead: RowsAhead
  private readonly follower: AmendmentFollower
  private told: EngineEvent[] = []
  /** Those whose averages are not all formed: the next one stops the way through the run, and forms theirs too. */
  private pending: OperatorEvent[] = []
  private amended: AmendedRun | null = null
  /** What the newest amendment changes, while that is being worked out. */
  private changes: RowChanges | null = null
  private shown: ShownAverages | null = null
  private catchingUp: Promise<void> = Promise.resolve()

  constructor(station: StationFile, writer: RecordingWriter, rowsAhead: RowsAhead, follower: AmendmentFollower) {
    this.station = station
    this.writer = writer
    this.rowsAhead = rowsAhead
    this.follower = follower
  }

  /**
   * Before the recorded inputs go through the engines once more: all that was ever told is known from the start. Returns the
   * notes of what the newest amendment changes in averages that a kill or a stop left as they were before it. Of averages that
   * were being derived anew when that happened there is nothing to note: it was done before the old ones went.
   */
  async known(reader: RecordingReader): Promise<Derived[]> {
    this.told = reader.changes().filter(isAmendment)
    const amendments = amendmentsOf(this.told)
    if (amends(amendments)) this.amended = new AmendedRun(this.station, amendments, true)
    const last = this.told.at(-1)
    return last?.kind !== 'operator' || reader.isDerivedInPart() ? [] : this.missed(reader, last, amendments)
  }

  private async missed(reader: RecordingReader, last: OperatorEvent, amendments: Amendments): Promise<Derived[]> {
    const exactly = reader.header.engineVersion === engineVersion
    const changes = new RowChanges(new StoredAverages(reader), amending([last]), exactly)
    const amended = new AmendedRun(this.station, amendments, false)
    const notes: Derived[] = []
    const note = (found: readonly Derived[]): void => {
      for (const one of found) if (one.table === 'history') notes.push(one)
    }
    await amended.catchUp(reader, reader.extent().lastSequence, (outputs) => note(changes.take(outputs)))
    note(changes.rest())
    for (const gone of changes.gone()) note(gone)
    return notes
  }

  /** The engine whose averages are in force and up to date; null: that of the run as lived through. */
  get inForce(): EngineState | null {
    return this.amended?.goesAlong ? this.amended.engine : null
  }

  get exclusions(): Amendments['exclusions'] {
    return amendmentsOf(this.told).exclusions
  }

  /** What an event put out, with the averages in force in place of those lived through. */
  outputs(event: EngineEvent, lived: readonly EngineOutput[]): readonly EngineOutput[] {
    if (this.amended === null) return lived
    const rows = this.amended.take(event)
    this.changes?.formedAlong(rows)
    this.shown?.take(rows)
    return [...lived.filter((output) => !isRow(output)), ...rows]
  }

  /** An amendment is recorded under this number: from now on the amended averages are in force. */
  take(event: OperatorEvent, sequence: number): void {
    this.told.push(event)
    this.pending.push(event)
    this.amended?.stop()
    const amended = new AmendedRun(this.station, amendmentsOf(this.told), false)
    this.amended = amended
    // The run has passed time up to the telling, also where no input did.
    amended.take({ kind: 'time', atMs: event.atMs, monotonicMs: event.monotonicMs })
    this.catchingUp = this.catchingUp
      .then(() => this.catchUp(amended, event, sequence))
      .catch((error: unknown) => {
        if (this.amended === amended) this.amended = null
        this.follower.warn(
          `the averages could not be amended, they stay as lived through until the run goes on anew: ${error instanceof Error ? error.message : error}`,
        )
      })
  }

  private async catchUp(amended: AmendedRun, event: OperatorEvent, sequence: number): Promise<void> {
    await this.writer.flush()
    const reader = openRecording(this.writer.path)
    try {
      const told = this.pending.slice(0, this.pending.indexOf(event) + 1)
      const changes = new RowChanges(new StoredAverages(reader), amending(told), true)
      this.changes = changes
      const shown = new ShownAverages()
      this.shown = shown
      const derive = (rows: ReturnType<RowChanges['take']>): void => {
        if (rows.length === 0) return
        this.writer.derive(rows)
        this.rowsAhead.give(rows.length)
      }
      const take = (outputs: readonly EngineOutput[]): void => {
        shown.take(outputs)
        derive(changes.take(outputs))
      }
      const pause = (): Promise<void> => this.rowsAhead.pause()
      const isThere = await amended.catchUp(reader, sequence, take, pause)
      if (!isThere) return
      derive(changes.rest())
      for (const gone of changes.gone()) {
        derive(gone)
        await pause()
      }
      this.pending = this.pending.filter((one) => !told.includes(one))
      this.follower.changed(shown)
    } finally {
      this.changes = null
      this.shown = null
      reader.close()
    }
  }

  /** Resolves when the averages in force are formed and handed to the writer. */
  formed(): Promise<void> {
    return this.catchingUp
  }

  /**
   * Resolves when the averages in force are stored; after `mostMs` where that takes longer, and what is missing then is formed
   * anew when the run goes on.
   */
  async settled(mostMs: number): Promise<void> {
    let timer: NodeJS.Timeout | undefined
    const giveUp = (): void => {
      this.amended?.stop()
      this.follower.warn('the averages of the last amendment are not all formed: they will be when the run goes on')
    }
    if (Number.isFinite(mostMs)) timer = setTimeout(giveUp, mostMs)
    await this.catchingUp
    clearTimeout(timer)
  }
}
