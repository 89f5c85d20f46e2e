import type { AmendmentsAnswer } from '../../../protocols/live/amend.ts'
import { askAmendments } from '../../amendments.ts'
import type { Session } from '../../session.ts'

/** What amends the run that is shown, as the station last told it; asked anew where it may have become another. */
export class ToldAmendments {
  /** null: it has not come yet. */
  known: AmendmentsAnswer | null = null
  error = ''
  private askedFor: string | null = null
  private recording: string | null = null
  constructor(private readonly changed: () => void) {}

  ask({ route: { replay }, state: { station, trendBreaks }, amendedTimes }: Session): void {
    // Before a first recording there is nothing to be asked for.
    if (replay === null && !station?.run.recording) return
    const recording = `${replay}/${station?.run.recording}`
    if (recording !== this.recording) this.known = null
    this.recording = recording
    // Another page may have told it: that stands in the logbook at once, and what changed by it comes with a new snapshot.
    const told = station?.logbook.findLast(({ kind }) => kind === 'operator')?.id
    const key = `${recording}/${amendedTimes}/${replay === null ? `${trendBreaks}/${told}` : ''}`
    if (key === this.askedFor) return
    this.askedFor = key
    void this.take(replay, key)
  }

  private async take(recording: string | null, key: string): Promise<void> {
    const answer = await askAmendments(recording)
    if (key !== this.askedFor) return
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.known = answer.value
    this.changed()
  }
}
