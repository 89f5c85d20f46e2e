import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { freshness, lastHeardMs } from '../freshness.ts'
import { routeHash, type View } from '../route.ts'
import { Session } from '../session.ts'
import { shared } from '../styles/shared.ts'
import { spoken } from '../texts/alarm-banner.ts'
import * as frameTexts from '../texts/frame.ts'
import type { AverageExplained } from '../views/averages/average-explained.ts'
import { bigState } from '../views/watch/big-state.ts'
import { moveTrends } from '../views/watch/trend-moves.ts'
import { chosen, usualWindow } from '../window.ts'
import type { AlarmCall } from './alarm-call.ts'
import { alarmHeadline, inOrder, needsHand } from './alarm-order.ts'
import type { OfferedStretch } from './amendment-signings.ts'
import type { HandWish } from './hands.ts'
import type { HelpSheet } from './help-sheet.ts'
import { type KeyWish, keyWish } from './keys.ts'
import { applyTheme, rememberedTheme, type Theme } from './remembered.ts'
import type { Transport } from './replay-bar.ts'
import type { Signed, SignedDialog } from './signed-dialog.ts'
import '../views/watch/watch-view.ts'
import './alarm-banner.ts'
import './help-sheet.ts'
import './replay-bar.ts'
import './spoken.ts'
import './status-line.ts'
import './top-bar.ts'

const loadLater = () => import('./later-piece.ts')

/** The frame around the views: what must be seen whatever is looked at. Draws when the session says so. */
export class FlueApp extends LitElement {
  static override styles = [
    shared,
    css`
    :host { display: block; min-height: 100dvh; }
    .frame { display: grid; gap: var(--gap); padding: 6px var(--gutter) 48px; max-width: 1800px; margin: 0 auto; }
    .old { background: var(--caution); color: var(--on-caution); padding: 8px var(--gutter); font-weight: 600; display: flex; gap: 16px; align-items: center; flex-wrap: wrap; }
    .links { display: flex; flex-wrap: wrap; gap: 4px 24px; align-items: center; justify-content: space-between; }
    .far { padding: 12px var(--gutter); }
    .warnings { border-left: 6px solid var(--caution-edge); padding-left: 12px; }
    main { min-width: 0; }
    @media (max-width: 820px) { .frame { padding-bottom: 120px; } }
  `,
  ]
  private session: Session | null = null
  private theme: Theme = rememberedTheme()
  private call: AlarmCall | null = null
  private ticks = 0
  private replayShown: string | null = null
  private viewShown: View | null = null
  private readonly onKey = (event: KeyboardEvent) => this.keyed(event)

  constructor() {
    super()
    const heard: Readonly<Record<string, (detail: never) => void>> = {
      hand: (wish: HandWish) => this.hand(wish),
      'ask-help': () => this.askHelp(),
      'choose-theme': (theme: Theme) => this.chooseTheme(theme),
      transport: (wish: Transport) => this.transport(wish),
      'ask-signed': (signed: Signed) => void this.dialog?.open(signed),
      'explain-average': (row: AverageRow) => void this.explain(row),
      'ask-exclusion': (stretch: OfferedStretch) => void this.askExclusion(stretch),
      'show-stretch': ({ fromMs, toMs }: OfferedStretch) =>
        this.session?.go({ view: 'watch', far: false, window: chosen(fromMs, toMs) }),
      far: (far: boolean) => this.session?.go({ view: 'watch', far }),
      signed: () => this.session?.redraw(),
    }
    for (const [name, act] of Object.entries(heard))
      this.addEventListener(name, (event) => act((event as CustomEvent<never>).detail))
  }

  override connectedCallback(): void {
    super.connectedCallback()
    applyTheme(this.theme)
    this.session ??= new Session(
      () => {
        this.ticks++
        this.requestUpdate()
      },
      (state) => this.call?.heard(state, performance.now()),
    )
    document.addEventListener('keydown', this.onKey)
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback()
    document.removeEventListener('keydown', this.onKey)
  }

  protected override firstUpdated(): void {
    void this.loadRest()
  }

  /**
   * A dialog is about the recording over which it was opened, and tells of its average: it does not stay over another one.
   * What a piece that is still to be loaded brings has no dialog to close yet.
   */
  protected override updated(): void {
    const { replay = null, view = null } = this.session?.route ?? {}
    if (replay !== this.replayShown) this.dialog?.close?.()
    if (replay !== this.replayShown || view !== this.viewShown) this.explained?.close?.()
    this.replayShown = replay
    this.viewShown = view
  }

  private async loadRest(): Promise<void> {
    const later = await this.later()
    if (later) this.call ??= new later.AlarmCall(() => this.session?.redraw())
    this.session?.redraw()
  }

  private async later(): Promise<Awaited<ReturnType<typeof loadLater>> | null> {
    try {
      return await loadLater()
    } catch {
      return null // What cannot be had leaves its view empty; the next wish asks for it anew.
    }
  }

  private get dialog(): SignedDialog | null {
    return this.renderRoot.querySelector('signed-dialog')
  }
  private get explained(): AverageExplained | null {
    return this.renderRoot.querySelector('average-explained')
  }
  private askHelp(): void {
    this.renderRoot.querySelector<HelpSheet>('help-sheet')?.open()
  }
  /** The moment is that of the press, whatever has still to be loaded. */
  private hand(wish: HandWish): void {
    const { session } = this
    if (!session) return
    const pressedMs = Math.round(session.now())
    // The dialog of the frame that stands then: the far view has one of its own.
    void this.later().then((later) => this.dialog && later?.openHand(this.dialog, session, wish, pressedMs))
  }
  private async explain(row: AverageRow): Promise<void> {
    const { session } = this
    if (!session || !(await this.later())) return
    await this.explained?.open(row, session)
  }
  private async askExclusion(stretch: OfferedStretch): Promise<void> {
    const { session } = this
    const station = session?.state.station
    if (!session || !station) return
    const later = await this.later()
    if (!later) return
    void this.dialog?.open(
      later.exclusionSigning(station, session.route.replay, stretch, station.playback?.endMs ?? session.now(), (done) =>
        session.amended(done),
      ),
    )
  }
  private chooseTheme(theme: Theme): void {
    this.theme = theme
    applyTheme(theme)
    this.session?.redraw()
  }
  private transport(wish: Transport): void {
    switch (wish.do) {
      case 'leave':
        this.session?.go({ replay: null, view: 'watch', window: usualWindow })
        break
      case 'play':
        this.session?.send({ type: 'play', speed: wish.speed })
        break
      case 'pause':
        this.session?.send({ type: 'pause' })
        break
      case 'seek':
        this.session?.send({ type: 'seek', atMs: wish.atMs })
    }
  }

  private keyed(event: KeyboardEvent): void {
    const wish = keyWish(event)
    if (!wish || !this.session) return
    event.preventDefault()
    this.act(wish, this.session)
  }
  private act(wish: KeyWish, session: Session): void {
    const playback = session.state.station?.playback
    switch (wish.do) {
      case 'note':
        this.hand({ do: 'note' })
        break
      case 'acknowledge':
      case 'shelve':
        this.hand({ do: 'alarm', act: wish.do })
        break
      case 'far':
        session.go({ view: 'watch', far: !session.route.far })
        break
      case 'help':
        this.askHelp()
        break
      case 'view':
        session.go({ view: wish.view })
        break
      case 'trends':
        if (session.route.view === 'watch') moveTrends(session, wish.move)
        break
      case 'play-or-pause':
        if (playback) this.transport(playback.playing ? { do: 'pause' } : { do: 'play', speed: playback.speed })
    }
  }

  override render() {
    const { session } = this
    if (!session) return nothing
    const { state, route } = session
    const { station } = state
    const pageMs = performance.now()
    const nowMs = session.now()
    const listHref = routeHash({ ...route, view: 'alarms' })
    if (route.far && route.view === 'watch') return this.far(session)
    return html`
      ${state.unreadable !== null || state.newVersion !== null ? this.oldPage() : nothing}
      ${station?.playback ? html`<replay-bar .station=${station} .nowMs=${nowMs}></replay-bar>` : nothing}
      <div class="frame">
        <header><top-bar .station=${station} .route=${route} .nowMs=${nowMs} .theme=${this.theme}></top-bar></header>
        <div class="links"><status-line .state=${state} .pageMs=${pageMs}></status-line>${this.call && station?.mode === 'live' ? html`<sound-switch .call=${this.call} href=${listHref} .tick=${this.ticks}></sound-switch>` : nothing}</div>
        ${station && route.view !== 'alarms' ? html`<alarm-banner .alarms=${station.alarms} .channels=${station.channels} .logbook=${station.logbook} listHref=${listHref} .nowMs=${nowMs} .zone=${station.clock} ?canAct=${station.mode === 'live'} .heardMs=${lastHeardMs(state, pageMs)}></alarm-banner>` : nothing}
        ${station?.warnings.length ? html`<ul class="warnings">${station.warnings.map((warning) => html`<li>${warning}</li>`)}</ul>` : nothing}
        <main>${this.view(route.view, session)}</main>
      </div>
      <average-explained></average-explained><signed-dialog></signed-dialog><help-sheet></help-sheet>${this.spoken(session, pageMs, nowMs)}`
  }

  /** From afar only the state is seen; what is spoken and the dialogs stay. */
  private far(session: Session) {
    return html`<main class="far"><far-view .session=${session} .tick=${this.ticks}></far-view></main>
      <signed-dialog></signed-dialog><help-sheet></help-sheet>${this.spoken(session, performance.now(), session.now())}`
  }

  private view(view: View, session: Session): TemplateResult {
    switch (view) {
      case 'watch':
        return html`<watch-view .session=${session} .tick=${this.ticks}></watch-view>`
      case 'alarms':
        return html`<alarms-view .session=${session} .tick=${this.ticks} .call=${this.call}></alarms-view>`
      case 'averages':
        return html`<averages-view .session=${session} .tick=${this.ticks}></averages-view>`
      case 'logbook':
        return html`<logbook-view .session=${session} .tick=${this.ticks}></logbook-view>`
      case 'recordings':
        return html`<recordings-view .session=${session} .tick=${this.ticks}></recordings-view>`
      case 'calculations':
        return html`<calculations-view .session=${session} .tick=${this.ticks}></calculations-view>`
      case 'set-up':
        return html`<set-up-view></set-up-view>`
    }
  }
  private oldPage() {
    return html`<div class="old" role="alert"><span>${frameTexts.oldPage(this.session?.state.newVersion ?? null)}</span><button @click=${() => location.reload()}>${frameTexts.reload}</button></div>`
  }
  private spoken(session: Session, pageMs: number, nowMs: number) {
    const { station } = session.state
    const words =
      station?.streams
        .map((stream) => {
          const big = bigState(session.state, stream, pageMs, nowMs)
          return freshness(session.state, stream, pageMs).stale ? `${big.word}. ${big.meaning}` : big.word
        })
        .join('. ') ?? ''
    const [first] = station ? inOrder(station.alarms).filter(needsHand) : []
    return html`<spoken-words state=${words} alarm=${station && first ? spoken(alarmHeadline(first, station.channels)) : ''} .tick=${this.ticks}></spoken-words>`
  }
}
customElements.define('flue-app', FlueApp)
