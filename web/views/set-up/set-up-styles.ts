import { css } from 'lit'

export const setUpStyles = css`
  :host { display: grid; gap: var(--gap-large); min-width: 0; max-width: 1280px; }
  section { display: grid; gap: var(--gap); min-width: 0; border-top: 1px solid var(--line); padding-top: var(--gap); }
  section > h2 { display: flex; gap: 12px; align-items: baseline; }
  section > h2 .number { color: var(--ink-soft); font-weight: 400; }
  h3 { margin: 0; font-size: 1.05rem; font-weight: 600; }
  form { display: grid; gap: var(--gap); }
  fieldset { border: 0; margin: 0; padding: 0; min-width: 0; }
  legend { padding: 0; overflow-wrap: anywhere; }
  .grid { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(260px, 100%), 1fr)); gap: var(--gap); align-items: start; }
  .grid > *, .columns fieldset > * { min-width: 0; }
  input:not([type='radio']), select { width: 100%; min-width: 0; }
  .kinds { display: flex; flex-wrap: wrap; gap: 8px 20px; }
  .choice { display: flex; gap: 10px; align-items: center; min-height: var(--target); font-size: var(--size-text); color: var(--ink); cursor: pointer; }
  .choice input { width: 24px; height: 24px; min-height: 0; accent-color: var(--action); margin: 0; }
  .field { display: grid; gap: 4px; align-content: start; }
  .field > label { overflow-wrap: anywhere; }
  .hint, .fault { font-size: var(--size-small); }
  .hint { color: var(--ink-soft); overflow-wrap: anywhere; }
  .fault { color: var(--ink); border-left: 5px solid var(--alarm); padding-left: 8px; overflow-wrap: anywhere; }
  [aria-invalid] { border: 2px solid var(--mark-alarm); }
  .said { display: flex; gap: 10px; align-items: baseline; }
  .said svg { align-self: center; }
  .caution { border-left: 6px solid var(--caution-edge); padding-left: 12px; }
  .asks { border-left: 6px solid var(--caution-edge); padding-left: 12px; display: grid; gap: 4px; }
  .asks ul, .errors ul { display: grid; gap: 4px; }
  .asks li, .errors li { overflow-wrap: anywhere; }
  .lines, .difference { position: relative; border: 1px solid var(--line); background: var(--panel); overflow: auto; max-height: 460px; }
  code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: var(--size-small); overflow-wrap: anywhere; white-space: pre-wrap; }
  .lines li { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1.1fr); gap: 4px 20px; padding: 6px 12px; border-bottom: 1px solid var(--line); }
  .lines li:last-child { border-bottom: 0; }
  .values { display: flex; flex-wrap: wrap; gap: 2px 14px; font-size: var(--size-small); align-content: start; }
  .values b { font-weight: 400; color: var(--ink-soft); }
  .values .strange { border-bottom: 2px dashed var(--caution-edge); }
  .refused { align-items: center; }
  summary { font-weight: 500; }
  details > summary::before { content: '▸'; padding-right: 8px; }
  details[open] > summary::before { content: '▾'; }
  details > .grid { padding: 8px 0 16px; }
  .guesses { display: grid; gap: 4px; padding-bottom: 12px; }
  .guesses li { display: grid; grid-template-columns: 3.6em minmax(0, 1fr); overflow-wrap: anywhere; }
  .share { font-variant-numeric: tabular-nums; }
  .columns { display: grid; }
  .columns > li { border-top: 1px solid var(--line); padding: 10px 0; }
  .columns fieldset { display: grid; grid-template-columns: 1.5fr 1fr 1fr 1.3fr 1.2fr; gap: 8px 14px; align-items: start; }
  .columns fieldset > legend { padding-bottom: 4px; }
  .columns .why { grid-column: 1 / -1; }
  .unused legend { color: var(--ink-soft); }
  .usual { align-items: center; }
  .usual > span { flex: 1 1 260px; }
  .words { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(220px, 100%), 1fr)); gap: 8px 14px; align-items: start; }
  .words legend { padding-bottom: 4px; }
  .remove { align-self: end; }
  .difference li { display: flex; gap: 10px; padding: 0 12px; }
  .difference li > span:first-child { flex: none; width: 1em; }
  .difference .old { background: color-mix(in srgb, var(--ink) 10%, transparent); }
  .difference .old code { text-decoration: line-through; }
  .difference .new { background: color-mix(in srgb, var(--action) 14%, transparent); font-weight: 600; }
  .difference .cut { color: var(--ink-soft); font-style: italic; }
  .streams { display: grid; gap: var(--gap); }
  .said-of { display: grid; gap: 4px; }
  .line { display: block; }
  .in-force { color: var(--ink); }
  .wide { grid-column: 1 / -1; }
  .settings { display: grid; border-bottom: 1px solid var(--line); }
  .settings details { border-top: 1px solid var(--line); min-width: 0; }
  .settings summary { flex-wrap: wrap; column-gap: 10px; overflow-wrap: anywhere; }
  .settings .inside { display: grid; gap: var(--gap); padding: 0 0 var(--gap) 18px; border-left: 3px solid var(--line); margin-bottom: var(--gap); }
  .settings .inside > :not(button) { padding-left: 6px; min-width: 0; }
  .at-fault { display: inline-flex; gap: 6px; align-items: center; font-weight: 600; }
  .kinds-of { display: grid; gap: 8px; border-left: 3px solid var(--line); padding-left: 12px; }
  .kinds-of > .field { max-width: 560px; }
  .pair { display: grid; grid-template-columns: 1fr 1fr; gap: 8px; }
  .entries { display: grid; gap: 8px; }
  .entry { display: grid; grid-template-columns: minmax(0, 560px) auto; gap: 8px; align-items: start; }
  .entry > .take-out { margin-top: 1.5em; }
  .take-out { justify-self: start; }
  .settings .inside > .take-out { margin-left: 6px; }
  .found { display: grid; gap: 4px; }
  .found button { width: 100%; justify-content: start; text-align: left; flex-wrap: wrap; padding: 8px 14px; font-weight: 400; }
  @media (max-width: 1100px) { .columns fieldset { grid-template-columns: repeat(auto-fill, minmax(min(160px, 100%), 1fr)); } .hole { display: none; } }
  @media (max-width: 820px) { .lines li { grid-template-columns: minmax(0, 1fr); } }
`
