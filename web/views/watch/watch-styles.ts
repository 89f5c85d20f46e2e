import { css } from 'lit'

/** The layout of *Watch*: the state and the running block on top, below them one line per channel, figures beside trace. */
export const watchStyles = css`
  :host { display: grid; gap: var(--gap-large); min-width: 0; }
  section { min-width: 0; }
  .top { display: grid; grid-template-columns: minmax(0, 1.25fr) minmax(0, 1fr); gap: var(--gap-large) clamp(24px, 4vw, 64px); align-items: start; }
  .glance { display: flex; flex-wrap: wrap; gap: 10px 24px; align-items: end; justify-content: space-between; font-size: clamp(1.2rem, 1.7vw, 1.7rem); }
  .glance .row { font-size: var(--size-text); }
  .heroes { display: grid; gap: var(--gap-large); }
  .line { display: grid; grid-template-columns: 370px minmax(0, 1fr); gap: 0 18px; align-items: center; }
  .channel { border-top: 1px solid var(--line); padding: 4px 0; }
  .channel trend-strip { height: var(--strip-height, 104px); }
  .channel.last trend-strip { height: calc(var(--strip-height, 104px) + 26px); }
  .ribbon { margin-top: 10px; }
  .legend-word { justify-self: end; }
  .legend { margin-top: 10px; }
  .empty { padding: 20vh 0; text-align: center; font-size: var(--size-large); color: var(--ink-soft); }
  section + section:not(.trends) { border-top: 1px solid var(--line); padding-top: var(--gap); }
  @media (max-width: 1100px) { .line { grid-template-columns: 316px minmax(0, 1fr); } }
  @media (max-width: 820px) {
    .top, .line { grid-template-columns: minmax(0, 1fr); }
    .legend-word { display: none; }
    .channel { padding: 10px 0; }
  }
`
