import type { AlarmPriority } from '../../protocols/words/alarms.ts'
import type { ViewState } from '../store.ts'
import { outOfTouch as outOfTouchText } from '../texts/watch.ts'
import { badge, notify } from './alarm-notice.ts'
import { alarmHeadline, inOrder, needsHand } from './alarm-order.ts'
import { AlarmSound } from './alarm-sound.ts'
import { rememberedSound, rememberSound } from './remembered.ts'

/** An alarm that nobody has taken note of is called again after this time. Our choice. */
const repeatMs: Readonly<Record<AlarmPriority, number>> = {
  high: 15_000,
  medium: 40_000,
  low: Number.POSITIVE_INFINITY,
}
/** A link that is back within this time is not worth waking anybody. */
const lostForMs = 15_000
const worst = { high: 0, medium: 1, low: 2 } as const
const outOfTouch = 'page:out-of-touch'

interface Calling {
  readonly id: string
  readonly priority: AlarmPriority
}

/**
 * Calls for a hand beyond the screen: sound, title, icon, notification. Driven by the messages as they come, never by a
 * timer: a hidden page gets its timers once a minute, its messages at once.
 */
export class AlarmCall {
  readonly sound: AlarmSound
  /** Page time until which what is known already stays quiet. */
  private silentUntilMs = Number.NEGATIVE_INFINITY
  private silenced: ReadonlySet<string> = new Set()
  private known: ReadonlySet<string> = new Set()
  /** Came, but was not called yet. */
  private unheard: ReadonlySet<string> = new Set()
  private playedMs = Number.NEGATIVE_INFINITY
  private calling: readonly Calling[] = []

  constructor(private readonly changed: () => void) {
    this.sound = new AlarmSound(rememberedSound(), changed)
    const firstTouch = () => {
      if (this.sound.state === 'waiting') void this.sound.enable()
    }
    for (const name of ['pointerdown', 'keydown'] as const) document.addEventListener(name, firstTouch)
  }

  /** One message more, or a change of the link. `pageMs`: the page's own time. */
  heard(state: ViewState, pageMs: number): void {
    const { station } = state
    if (!station) return
    const isLost = state.link.state === 'lost' && pageMs - state.link.sinceMs > lostForMs
    const open = station.mode === 'live' ? inOrder(station.alarms).filter(needsHand) : []
    const [first] = open
    const headline = first ? alarmHeadline(first, station.channels) : ''
    badge(station.station, open.length + Number(isLost), isLost ? outOfTouchText : headline)
    this.calling = [
      ...open.map(({ alarm, raisedMs, count, priority }) => ({ id: `${alarm} ${raisedMs} ${count}`, priority })),
      ...(isLost && station.mode === 'live' ? [{ id: outOfTouch, priority: 'high' as const }] : []),
    ]
    const fresh = this.calling.filter(({ id }) => !this.known.has(id))
    this.known = new Set(this.calling.map(({ id }) => id))
    if (fresh.length && headline) notify(headline, station.station, first?.alarm ?? outOfTouch)
    this.unheard = new Set([...fresh.map(({ id }) => id), ...this.unheard].filter((id) => this.known.has(id)))
    this.call(pageMs)
  }

  /** What is new is heard at once, also through a silence; what was silenced stays so until the time is over. */
  private call(pageMs: number): void {
    const isSilent = pageMs < this.silentUntilMs
    const due = this.calling.filter(({ id }) => !isSilent || !this.silenced.has(id))
    const priority = due.map((one) => one.priority).sort((one, other) => worst[one] - worst[other])[0]
    if (priority === undefined) return
    // In a flood one call stands for all that came within two seconds; what could not be called yet is called then.
    const isNew = due.some(({ id }) => this.unheard.has(id))
    if (pageMs - this.playedMs < (isNew ? 2000 : repeatMs[priority])) return
    this.playedMs = pageMs
    this.unheard = new Set()
    this.sound.play(priority)
  }

  async enable(): Promise<void> {
    rememberSound(true)
    await this.sound.enable()
  }
  disable(): void {
    rememberSound(false)
    this.sound.disable()
  }
  silence(minutes: number, pageMs: number): void {
    this.silenced = this.known
    this.silentUntilMs = pageMs + minutes * 60_000
    this.changed()
  }
  speakAgain(): void {
    this.silentUntilMs = Number.NEGATIVE_INFINITY
    this.playedMs = Number.NEGATIVE_INFINITY
    this.changed()
  }
  /** How long the silence still lasts, ms; 0: none. */
  silentForMs(pageMs: number): number {
    return Math.max(0, this.silentUntilMs - pageMs)
  }
  test(priority: AlarmPriority): void {
    this.sound.play(priority)
  }
}
