import { css, html, LitElement, nothing, svg } from 'lit'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { Flag } from '../../../protocols/live/requests.ts'
import { askLogbook } from '../../answers.ts'
import { hourMinuteSecondText, timeText } from '../../format/times.ts'
import { entryText } from '../../parts/entry-text.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import { axisWidth } from '../../parts/trend-axes.ts'
import type { Session } from '../../session.ts'
import { shared } from '../../styles/shared.ts'
import { close } from '../../texts/everywhere.ts'
import { entryKindWords } from '../../texts/logbook.ts'
import * as readingTexts from '../../texts/trend-reading.ts'
import { onlyThis } from '../../texts/trends.ts'
import { flagGroups, flagsFrom } from './flags.ts'

const size = 48
const aroundMs = 300_000
/** More of one place are not listed; a shorter stretch parts them. */
const listedMost = 200

/** A flag that was opened, and what it holds. */
interface Opened {
  readonly flag: Flag
  readonly entries: readonly LogbookEntry[]
  /** That there are more, or why they are not told. */
  readonly about: string
}

/** What the logbook holds of the stretch shown, as flags above the charts; each opens. */
export class FlagRow extends LitElement {
  static override properties = {
    session: { attribute: false },
    fromMs: { type: Number },
    toMs: { type: Number },
    width: { type: Number },
    tick: { type: Number },
    opened: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: block; min-height: ${size}px; min-width: 0; }
    /* A screen that is turned is drawn anew a moment later: flags of the wider one must not widen the page. */
    .row { position: relative; height: ${size}px; overflow: clip; overflow-clip-margin: 12px; }
    .flag { position: absolute; top: 0; width: ${size}px; min-width: ${size}px; padding: 0; border: 0; background: none; font-size: var(--size-small); gap: 2px; }
    .flag::after { content: ''; position: absolute; bottom: 0; left: 50%; height: 10px; border-left: 1.5px solid var(--ink); }
    li { padding: 8px 0; border-top: 1px solid var(--line); overflow-wrap: anywhere; }
    .inside { display: grid; gap: var(--gap); }
  `,
  ]
  declare session: Session
  declare fromMs: number
  declare toMs: number
  /** Of the plotting area, in pixels. */
  declare width: number
  declare tick: number
  declare opened: Opened | null
  constructor() {
    super()
    this.opened = null
  }

  private async open(flag: Flag): Promise<void> {
    this.opened = { flag, entries: [], about: '' }
    await this.updateComplete
    this.dialog?.showModal()
    const query = { from: flag.atMs, to: flag.endMs + 1, flagged: 1, most: listedMost }
    const asked = await askLogbook(this.session.route.replay, query)
    this.opened = asked.ok
      ? { flag, entries: asked.value.entries, about: asked.value.left ? readingTexts.moreHere(asked.value.left) : '' }
      : { ...this.opened, about: asked.errors.join(' ') }
  }
  private get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog')
  }

  /** The page's policy allows no style in the text of an element, only by its object. */
  protected override updated(): void {
    for (const flag of this.renderRoot.querySelectorAll<HTMLElement>('.flag'))
      flag.style.left = `${flag.dataset.left}px`
  }

  override render() {
    const { session, fromMs, toMs, width } = this
    const { station } = session.state
    if (!station || width <= 0) return nothing
    const perMs = width / (toMs - fromMs)
    const { flags, flagsToMs } = session.feed
    const all = [...flags, ...flagsFrom(station.logbook, flagsToMs)]
    const groups = flagGroups(all, fromMs, Math.min(toMs, session.now() + 60_000), size / perMs)
    const zone = station.clock
    return html`<div class="row" role="group" aria-label=${readingTexts.notesAndEvents}>${groups.map((group) => {
      const { count } = group
      const time = hourMinuteSecondText(group.atMs, zone)
      const kind = entryKindWords[group.kind]
      const what = count > 1 ? readingTexts.severalFrom(count, time) : readingTexts.oneAt(kind, time)
      return html`<button class="flag" data-left=${axisWidth + (Math.max(group.atMs, fromMs) - fromMs) * perMs - size / 2} aria-label=${what} @click=${() => void this.open(group)}>${picture(group.sign)}${count > 1 ? count : nothing}</button>`
    })}</div>
      <dialog aria-labelledby="title">${this.opened ? this.inside(this.opened) : nothing}</dialog>`
  }

  private inside({ flag, entries, about }: Opened) {
    const { station } = this.session.state
    if (!station) return nothing
    const zone = station.clock
    return html`<div class="inside"><h2 id="title">${readingTexts.logbookAt(timeText(flag.atMs, zone))}</h2>
      ${about ? html`<p role="alert">${about}</p>` : nothing}
      <ol>${entries.map((entry) => html`<li><strong>${timeText(entry.atMs, zone)}</strong> ${entryKindWords[entry.kind]}${entry.corrects === undefined ? nothing : readingTexts.correction}<br>${entryText(entry, station)}${entry.by ? html` <span class="soft small">${entry.by}</span>` : nothing}</li>`)}</ol>
      <div class="buttons"><button class="gloves" @click=${() => this.zoom(flag)}>${onlyThis}</button><button class="main gloves" autofocus @click=${() => this.dialog?.close()}>${close}</button></div></div>`
  }
  private zoom({ atMs, endMs }: Flag): void {
    this.dialog?.close()
    tell(this, 'trend-select', { fromMs: atMs - aroundMs, toMs: endMs + aroundMs })
  }
}
const picture = (sign: Flag['sign']) =>
  sign === 'alarm' || sign === 'caution'
    ? mark(sign)
    : html`<svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">${sign === 'note' ? svg`<path d="M3 1v14M3 2h10l-3 3 3 3H3" fill="currentColor" stroke="currentColor" stroke-width="1.5"></path>` : svg`<circle cx="8" cy="8" r="4.500" fill="none" stroke="currentColor" stroke-width="2"></circle>`}</svg>`
customElements.define('flag-row', FlagRow)
