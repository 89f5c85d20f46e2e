import type { AmendAnswer, AmendRequest } from '../../../protocols/live/amend.ts'
import type { Had } from '../../http/station-face.ts'
import { openRecording } from '../../recording/recording-reader.ts'
import { longWork } from '../long-work.ts'
import type { Station } from '../station.ts'
import { factsOf, toldAmendment } from './told-amendment.ts'

type AmendedStation = Pick<Station, 'amend' | 'options' | 'run' | 'staysWithRun' | 'whyNotNow'>

/** Takes amendments one after the other, so that no two write on the same recording at once. */
export class AmendmentDesk {
  private readonly station: AmendedStation
  private before: Promise<unknown> = Promise.resolve()

  constructor(station: AmendedStation) {
    this.station = station
  }

  /** Where the station writes on it now, its averages follow as soon as they are formed. */
  amend(path: string, request: AmendRequest): Promise<Had<AmendAnswer>> {
    const done = this.before.then(() => this.amendNext(path, request))
    // What went wrong with one amendment is told to who asked for it; the next one begins all the same.
    this.before = done.catch(() => {})
    return done
  }

  private async amendNext(path: string, request: AmendRequest): Promise<Had<AmendAnswer>> {
    // A run that ends at this moment would leave it to the recording that follows.
    do {
      const refusal = await this.station.whyNotNow()
      if (refusal) return refusal
      if (this.isCurrent(path)) await this.station.run.writer.flush()
    } while (!this.station.staysWithRun)
    const isCurrent = this.isCurrent(path)
    const nowMs = this.station.options.clock.stationMs()
    const told = toldAmendment(request, this.facts(path, isCurrent ? nowMs : null), nowMs)
    if (!told.ok) return told
    const { id, action } = told
    if (isCurrent) {
      const { writer } = this.station.run
      this.station.amend(action, request.by)
      // Who is told that it is done must find it after a power cut too.
      const errors = await writer.flush().then(
        () => [],
        (error: unknown) => [
          `is stored as soon as the disk takes it: ${error instanceof Error ? error.message : error}`,
        ],
      )
      return { ok: true, answer: { ok: true, errors, id, changed: null } }
    }
    const { changed } = await longWork({ work: 'amend', path, order: { by: request.by, nowMs, action } })
    return { ok: true, answer: { ok: true, errors: [], id, changed } }
  }

  private isCurrent(path: string): boolean {
    return this.station.run.writer.path === path
  }

  private facts(path: string, nowMs: number | null): ReturnType<typeof factsOf> {
    const reader = openRecording(path)
    try {
      return factsOf(reader, nowMs)
    } finally {
      reader.close()
    }
  }
}
