import { css } from 'lit'

/** What every component shares: buttons and fields large enough for gloves, a focus that shows, figures that keep their place. */
export const shared = css`
  *, *::before, *::after { box-sizing: border-box; }
  :host { font-variant-numeric: tabular-nums; }
  :host([hidden]), [hidden] { display: none !important; }
  h1, h2, h3, p, dl, dd, ol, ul { margin: 0; padding: 0; }
  ul, ol { list-style: none; }
  h2 { font-size: var(--size-large); font-weight: 600; line-height: 1.2; }
  button, .button, select, input, textarea {
    font: inherit; color: var(--ink); background: var(--raised); border: 1px solid var(--edge); border-radius: 4px;
    min-height: var(--target); padding: 0 14px;
  }
  textarea { padding: 10px 14px; min-height: 96px; width: 100%; resize: vertical; }
  button, .button { cursor: pointer; display: inline-flex; align-items: center; justify-content: center; gap: 8px; text-decoration: none; min-width: var(--target); font-weight: 500; }
  button.main, .button.main { background: var(--action); border-color: var(--action); color: var(--on-action); font-weight: 600; }
  button.gloves { min-height: var(--target-gloves); padding: 0 22px; }
  button[aria-pressed='true'], button[aria-current='true'] { background: var(--ink); color: var(--ground); border-color: var(--ink); }
  button:disabled, button.main:disabled { color: var(--ink-soft); background: var(--raised); border-color: var(--edge); border-style: dashed; cursor: default; }
  button:hover:not(:disabled), .button:hover { border-color: var(--ink); }
  :focus-visible { outline: 3px solid var(--action); outline-offset: 2px; }
  a { color: var(--action); }
  label { display: grid; gap: 4px; font-size: var(--size-small); color: var(--ink-soft); }
  label, input, select { min-width: 0; max-width: 100%; }
  svg { flex: none; }
  .faint { color: var(--ink-faint); }
  .soft { color: var(--ink-soft); }
  .small { font-size: var(--size-small); }
  .unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
  .row { display: flex; flex-wrap: wrap; align-items: center; gap: var(--gap-small); }
  .joined { display: inline-flex; flex-wrap: wrap; max-width: 100%; }
  .joined > button { border-radius: 0; margin-left: -1px; }
  .joined > button:first-child { border-radius: 4px 0 0 4px; margin-left: 0; }
  .joined > button:last-child { border-radius: 0 4px 4px 0; }
  .joined > button:focus-visible { z-index: 1; }
  dialog { background: var(--panel); color: var(--ink); border: 1px solid var(--edge); border-radius: 6px; padding: var(--gap-large); width: min(560px, calc(100vw - 24px)); max-height: calc(100dvh - 24px); overflow: auto; }
  dialog::backdrop { background: rgb(0 0 0 / 0.6); }
  dialog form { display: grid; gap: var(--gap); }
  .buttons { display: flex; flex-wrap: wrap; gap: 12px; justify-content: end; }
  .scroll { overflow-x: auto; }
  table { border-collapse: collapse; }
  summary { min-height: var(--target); display: flex; align-items: center; cursor: pointer; }
  .errors { color: var(--ink); border-left: 6px solid var(--alarm); padding-left: 12px; }
  @media print { button, select, input, .button, nav, .tools { display: none !important; } * { break-inside: avoid; } }
  @media (prefers-reduced-motion: reduce) { *, *::before, *::after { animation: none !important; transition: none !important; } }
`
