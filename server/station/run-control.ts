import type { SnapshotMessage } from '../../protocols/live/messages.ts'
import type { RunRequest } from '../../protocols/live/requests.ts'
import type { RunSettings } from '../engine/settings/station-file.ts'
import type { RecordedRun } from './recorded-run.ts'
import type { RunsToCome } from './runs-to-come.ts'

type StartRequest = Extract<RunRequest, { do: 'start' }>
const minuteMs = 60_000
/** A start that was missed by more, the station being down, is not made up for (our choice). */
const latestStartMs = 24 * 60 * minuteMs

/** In words, as the screen shows it. */
export function endRuleText(end: RunSettings['end']): string | null {
  if (!end) return null
  if ('afterCountedMinutes' in end) return `after ${end.afterCountedMinutes} counted minutes`
  if ('afterMinutes' in end) return `after ${end.afterMinutes} minutes`
  return `at ${end.at}`
}

/** Which run comes when: now, at a time, several in sequence. */
export class RunControl {
  private readonly settings: RunSettings
  private readonly now: () => number
  private number = 0
  private of: number
  private pauseMs: number
  private plannedMs: number | null
  private endedMs: number | null = null
  private givenName: string | undefined
  private isRestored = false
  /** Whether runs carry numbers in their names, which they keep when those after them are called off. */
  private isNumbered: boolean
  /** The rest of a sequence was called off while this run is on: its recording still tells of the others. */
  private restIsOff = false
  /** Planned while a run is on: it begins at its time, and not before that run has ended. */
  private following: StartRequest | null = null
  /** When the runs of this sequence end; the station file's rule until an operator plans others. */
  end: RunSettings['end']

  constructor(settings: RunSettings, now: () => number) {
    this.settings = settings
    this.now = now
    this.of = settings.count
    this.isNumbered = settings.count > 1
    this.pauseMs = settings.pauseMinutes * minuteMs
    this.plannedMs = typeof settings.start === 'object' ? Date.parse(settings.start.at) : null
    this.givenName = settings.name
    this.end = settings.end
  }

  /** What a station must not forget when it is started anew. */
  get toCome(): RunsToCome {
    const { number, of, pauseMs, plannedMs, following, end, restIsOff } = this
    return {
      ...{ number, of, pauseMs, plannedMs, following },
      ...(restIsOff ? { restIsOff } : {}),
      ...(this.givenName === undefined ? {} : { name: this.givenName }),
      ...(end ? { end } : {}),
    }
  }

  /**
   * Goes on with what was kept when the station was down. `isOn`: a run was left going. Gives the instant of a start that was
   * missed by too much, and that is dropped; null: none was.
   */
  restore(
    { number, of, pauseMs, plannedMs, name, end, following, restIsOff }: RunsToCome,
    isOn: boolean,
  ): number | null {
    // A run that was left going is what was planned, kept as such where the disk was full as it began. Without one the station may
    // have been killed in the moment in which a run of a sequence had ended.
    const startMs = isOn ? null : (plannedMs ?? (number > 0 && number < of ? this.now() + pauseMs : null))
    if (this.isMissed(startMs)) return startMs
    Object.assign(this, { number, of, pauseMs, end, plannedMs: startMs, givenName: name ?? this.settings.name })
    this.restIsOff = isOn && restIsOff === true
    this.isNumbered = of > 1 || this.restIsOff
    this.following = following?.do === 'start' ? following : null
    // Killed in that moment too: what was to follow is not planned yet, and no end of a run would do so any more.
    if (startMs === null && !isOn) this.planFollowing()
    if (this.isMissed(this.plannedMs)) {
      const missedMs = this.plannedMs
      this.plannedMs = null
      return missedMs
    }
    this.isRestored = this.plannedMs !== null
    return null
  }

  private isMissed(plannedMs: number | null): boolean {
    return plannedMs !== null && this.now() - plannedMs > latestStartMs
  }

  get startsAtOnce(): boolean {
    if (this.isRestored) return this.isDue(this.now())
    return this.settings.start === 'at-once' || (this.plannedMs !== null && this.plannedMs <= this.now())
  }

  get name(): string {
    const base = this.givenName ?? 'run'
    return this.isNumbered ? `${base} ${Math.max(1, this.number)}` : base
  }

  get numbers(): readonly [number, number] {
    return [Math.max(1, this.number), this.of]
  }

  isDue(nowMs: number): boolean {
    return this.plannedMs !== null && this.plannedMs <= nowMs
  }

  /** A run begins. The returned function takes that back, where no recording could be opened: it is due as before. */
  begun(): () => void {
    const { number, plannedMs, endedMs } = this
    this.number = Math.min(this.of, this.number + 1)
    this.plannedMs = null
    this.endedMs = null
    return () => Object.assign(this, { number, plannedMs, endedMs })
  }

  ended(): void {
    this.endedMs = this.now()
    this.restIsOff = false
    this.plannedMs = this.number < this.of ? this.endedMs + this.pauseMs : null
    if (this.plannedMs === null) this.planFollowing()
  }

  private planFollowing(): void {
    if (this.following === null) return
    this.plan(this.following)
    this.following = null
  }

  /** While a run is on: what comes after it, and after its sequence. */
  planNext(request: StartRequest): void {
    this.following = request
  }

  resumed(name: string, [number, of]: readonly [number, number], end: RunSettings['end']): void {
    this.end = end
    this.number = number
    this.of = this.restIsOff ? number : of
    this.isNumbered = of > 1
    this.givenName = of > 1 ? name.replace(/ \d+$/, '') : name
    this.plannedMs = null
  }

  plan(request: StartRequest): void {
    this.number = 0
    this.of = request.count
    this.isNumbered = request.count > 1
    this.pauseMs = request.pauseMinutes * minuteMs
    this.givenName = request.name ?? this.settings.name
    this.end = request.end
    this.plannedMs = request.at ? Date.parse(request.at) : this.now()
  }

  /** Calls off what is to come: a planned run, the rest of a sequence, what was to follow. `isOn`: a run is. False: nothing was to come. */
  cancel(isOn: boolean): boolean {
    const isWithinSequence = isOn && this.number < this.of
    const planned = this.plannedMs !== null || this.following !== null || isWithinSequence
    // What is left of a sequence goes with its next run: kept, it would begin after a restart.
    if (this.plannedMs !== null || isWithinSequence) this.of = Math.max(1, this.number)
    if (isWithinSequence) this.restIsOff = true
    if (this.number === 0) this.isNumbered = false
    this.plannedMs = null
    this.following = null
    return planned
  }

  state(run: RecordedRun | null): SnapshotMessage['run'] {
    const running = run !== null && !run.standby && run.startedMs !== null
    const start = running ? run.startedMs : null
    return {
      recording: run ? (run.writer.path.split('/').at(-1) ?? null) : null,
      name: this.name,
      state: running ? 'running' : this.plannedMs !== null ? 'planned' : this.endedMs !== null ? 'ended' : 'waiting',
      startMs: start,
      plannedMs: this.plannedMs ?? (this.following?.at ? Date.parse(this.following.at) : null),
      endMs: this.endedMs,
      elapsedMs: start === null ? 0 : Math.max(0, this.now() - start),
      countedMs: running ? run.countedMs : 0,
      endRule: endRuleText(this.end),
      number: Math.max(1, this.number),
      of: this.of,
    }
  }
}
