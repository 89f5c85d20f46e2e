import type { Piece } from '../../protocols/instrument/reader.ts'
import type { PlantState, ToldPhase } from '../../protocols/words/phases.ts'
import type { Check, Exclusion } from './amendments.ts'

/** Every event has the station's time (never stepped within a process, may be scaled) and the monotonic clock beside it. */
interface Stamped {
  /** Station time, ms since 1970 UTC. Events come in this order. */
  readonly atMs: number
  /** Monotonic time of the process that took the event down, ms. */
  readonly monotonicMs: number
}

export interface LineEvent extends Stamped {
  readonly kind: 'line'
  /** Place in the recording; 0 where nothing is recorded. */
  readonly sequence: number
  readonly stream: string
  /** As they came, terminator included. */
  readonly bytes: Uint8Array
  readonly piece: Piece
}

export const linkStates = ['open', 'lost', 'silent', 'refused', 'ended'] as const
/** `open`: lines can come. `lost`: it was open and went. `silent`: closed since nothing came. `refused`: an attempt failed. `ended`: a file or playback is at its end. */
export type LinkState = (typeof linkStates)[number]
export interface LinkEvent extends Stamped {
  readonly kind: 'link'
  readonly stream: string
  readonly state: LinkState
  readonly attempt: number
  readonly detail: string
}

export type OperatorAction =
  | { readonly do: 'mark-phase'; readonly stream: string | null; readonly phase: ToldPhase | null }
  | { readonly do: 'plant-state'; readonly state: PlantState }
  | { readonly do: 'acknowledge'; readonly alarm: string; readonly note: string }
  | { readonly do: 'shelve'; readonly alarm: string; readonly untilMs: number; readonly note: string }
  | { readonly do: 'unshelve'; readonly alarm: string; readonly note: string }
  | { readonly do: 'reset'; readonly alarm: string; readonly note: string }
  /** `pressedMs`: the moment of the press; the event's own time is that of the save. `corrects`: the id of the logbook's entry that it corrects. */
  | { readonly do: 'note'; readonly text: string; readonly pressedMs: number; readonly corrects?: string | undefined }
  | { readonly do: 'exclude'; readonly exclusion: Exclusion }
  | { readonly do: 'check'; readonly check: Check }
  /** Takes back an exclusion or a check, by its id. */
  | { readonly do: 'withdraw'; readonly id: string; readonly reason: string }
export interface OperatorEvent extends Stamped {
  readonly kind: 'operator'
  readonly by: string
  readonly action: OperatorAction
}

/** `step`: the wall clock jumped. `sleep`: the computer slept. `speed`: the station's clock is scaled from here on. */
export interface ClockEvent extends Stamped {
  readonly kind: 'clock'
  readonly change: 'step' | 'sleep' | 'speed'
  /** Size of a step or sleep, ms; 0 for `speed`. */
  readonly byMs: number
  /** Station seconds per real second from here on. */
  readonly speed: number
}

export interface RunEvent extends Stamped {
  readonly kind: 'run'
  readonly change: 'start' | 'suspend' | 'resume' | 'end'
  /** `operator`, `end-rule`, `orderly-stop`, `killed` … */
  readonly reason: string
  readonly by: string | null
}

/** Time passing; never recorded. Adding or leaving out such events changes no output. */
export interface TimeEvent extends Stamped {
  readonly kind: 'time'
}

/** What goes into the recording. */
export type RecordedEvent = LineEvent | LinkEvent | OperatorEvent | ClockEvent | RunEvent
export type EngineEvent = RecordedEvent | TimeEvent
