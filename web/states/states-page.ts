import '../../protocols/live/strict-policy.ts'
import { css, html, LitElement } from 'lit'
import { applyTheme, rememberedTheme, type Theme, themes } from '../shell/remembered.ts'
import { shared } from '../styles/shared.ts'
import { themeWords } from '../texts/frame.ts'
import { alarmBannerStates, standingAlarmStates } from './alarms.ts'
import { amendmentStates } from './amendments.ts'
import { averageStates, blockStates } from './blocks.ts'
import { calculationStates } from './calculations.ts'
import { dialogStates } from './dialogs.ts'
import { figureStates } from './figures.ts'
import { frameStates, linkStates } from './frame.ts'
import { phaseStates } from './phases.ts'
import { setUpStates } from './set-up.ts'
import type { Group } from './shown.ts'
import { testStates } from './tests.ts'
import { trendStates } from './trends.ts'
import { emptyStates, farStates, helpStates } from './whole-views.ts'

const groups: readonly Group[] = [
  phaseStates,
  figureStates,
  blockStates,
  averageStates,
  trendStates,
  amendmentStates,
  testStates,
  calculationStates,
  setUpStates,
  alarmBannerStates,
  standingAlarmStates,
  linkStates,
  frameStates,
  dialogStates,
  helpStates,
  emptyStates,
  farStates,
]
const anchor = (name: string) => name.toLowerCase().replaceAll(/[^a-z]+/g, '-')

/** For developers: the components in all their states, on invented data that stand still. */
export class StatesPage extends LitElement {
  static override properties = { theme: { state: true } }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap-large); padding: var(--gap) var(--gutter) 48px; }
    header, nav { display: flex; flex-wrap: wrap; gap: 8px 20px; align-items: center; }
    .plate { border: 2px solid var(--caution-edge); background: var(--caution); color: var(--on-caution); font-weight: 600; padding: 1px 8px; }
    .states { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 560px), 1fr)); gap: var(--gap); margin-top: var(--gap); }
    .states.wide { grid-template-columns: repeat(auto-fill, minmax(min(100%, 1300px), 1fr)); }
    main { display: grid; gap: var(--gap-large); min-width: 0; }
    section { min-width: 0; }
    figure { margin: 0; border: 1px solid var(--line); padding: 12px; min-width: 0; display: grid; gap: 10px; align-content: start; overflow: hidden; }
    figcaption { color: var(--ink-soft); font-size: var(--size-small); }
  `,
  ]
  declare theme: Theme
  constructor() {
    super()
    this.theme = rememberedTheme()
    applyTheme(this.theme)
  }

  private choose(theme: Theme): void {
    applyTheme(theme)
    this.theme = theme
  }

  override render() {
    return html`<header><h1>Components in all states</h1><span class="plate">Invented data</span>
        <div class="joined" role="group" aria-label="Look">${themes.map((theme) => html`<button aria-pressed=${theme === this.theme} @click=${() => this.choose(theme)}>${themeWords[theme]}</button>`)}</div></header>
      <nav aria-label="Groups">${groups.map(({ name }) => html`<a href=${`#${anchor(name)}`} @click=${(event: Event) => this.goTo(event, name)}>${name}</a>`)}</nav>
      <main>${groups.map(({ name, shown, isWide }) => html`<section id=${anchor(name)} aria-label=${name}><h2>${name}</h2><div class="states ${isWide ? 'wide' : ''}">${shown.map(([state, component]) => html`<figure><figcaption>${state}</figcaption>${component}</figure>`)}</div></section>`)}</main>`
  }

  /** An address does not reach into a shadow root by itself. */
  private goTo(event: Event, name: string): void {
    event.preventDefault()
    this.renderRoot.querySelector(`#${anchor(name)}`)?.scrollIntoView()
  }
}
customElements.define('states-page', StatesPage)
